import { cleanup, render, screen } from '@testing-library/svelte';
import { afterEach, expect, test } from 'vitest';
import type { CardTask, CareCard, PublicRecord } from '../../shared-types/src/index.ts';
import type { Lettered } from '../../web/src/components/compared.ts';
import CareCardView from '../../web/src/components/CareCardView.svelte';
import PublicRecordView from '../../web/src/components/PublicRecordView.svelte';
import SectionProfiles from '../../web/src/components/SectionProfiles.svelte';

afterEach(cleanup);

const specimen = { kind: 'helmet', sport: 'gridiron', maker: 'Larkmoor', model: 'Heron 3' };
const common = {
  evaluation: 'ev',
  title: 'Heron 3',
  specimen: { ...specimen, year: '', size: '', serial: '', condition: '', fastening: '' },
  state: { kind: 'current' },
  successor: null,
  lockedAt: '2026-03-02T09:00:00.000Z',
  reviewers: 3,
  cautions: { scope: 'SCOPE.', gate: 'GATE.', removal: 'REMOVAL.', thresholds: 'LIMITS.' },
};
const inLanguage = (language?: string) => ({
  id: 'p',
  version: '1.0',
  title: 'PROTOCOL',
  invented: false,
  ...(language === undefined ? {} : { language }),
});
const task = (title: string): CardTask => ({
  task: title,
  title,
  state: `${title} STATE`,
  value: 4,
  sentence: `${title} sentence.`,
  leftOpen: true,
});
const card = (language?: string): CareCard => ({
  ...(common as unknown as CareCard),
  kind: 'card',
  protocol: inLanguage(language),
  paper: false,
  reach: 5,
  blocked: [{ title: 'BLOCKED', backedByTrials: true }],
  marked: [task('MARKED')],
  delayed: [task('DELAYED')],
  slight: [task('SLIGHT')],
  asWithout: [],
  tools: [{ tool: 'TOOL', tasks: [{ ...task('USED'), trials: null }] }],
  statesTested: ['TESTED'],
  notTested: {
    states: ['UNTESTED'],
    tasks: [{ title: 'OMITTED', why: 'not-rated', reason: null }],
  },
});

/** Language in which a text is read out: of the nearest element that names one. */
const spoken = (text: string): string | null | undefined =>
  screen.getByText(text).closest('[lang]')?.getAttribute('lang');

test.each([
  ['fr', 'fr'],
  [undefined, 'en'],
])('WD-4: a care card has the words of a protocol in %s read out in %s', (named, read) => {
  render(CareCardView, { card: card(named) });
  for (const text of [
    ...['BLOCKED', 'MARKED', 'MARKED STATE', 'MARKED sentence.', 'DELAYED', 'dELAYED sentence'],
    ...['SLIGHT', 'TOOL', 'USED', 'TESTED', 'UNTESTED', 'OMITTED', 'REMOVAL.', 'SCOPE.'],
  ])
    expect([text, spoken(text)]).toEqual([text, read]);
  // What the program says itself, and what a person typed, is not in it.
  expect(spoken('Larkmoor')).toBeUndefined();
  expect(screen.getByText('Not tested').closest('[lang]')).toBeNull();
});

test('WD-4: a public record has the words of its protocol read out in its language', () => {
  const figure = { value: '1' };
  const section = { section: 's', letter: 'A', title: 'SECTION' };
  const record = {
    ...common,
    kind: 'record',
    protocol: inLanguage('fr'),
    scale: { title: '', min: 0, max: 5, better: 'lower', datum: 0, points: [] },
    meaning: 'Signed.',
    software: '',
    result: {
      verdict: { kind: 'care-was-blocked', tasks: ['airway'] },
      composite: {
        value: figure,
        weightUsed: '1',
        sections: [{ section: 's', value: figure, rated: 1, of: 1 }],
      },
      alphaOrdinal: figure,
      means: { value: figure, interval: { undefinedBecause: 'too-few' } },
      withInterests: figure,
    },
    sections: [section],
    tasks: [
      { task: 'airway', title: 'TASK', settled: figure, how: 'median', reason: null, gate: null },
    ].map((t) => ({ ...t, median: figure, divergent: false, ratings: [] })),
    panel: [],
    endorsements: [],
    head: { root: 'ff', size: 3 },
  } as unknown as PublicRecord;
  render(PublicRecordView, { record });
  for (const text of ['PROTOCOL', 'A SECTION', 'SCOPE.', 'GATE.', 'REMOVAL.', 'LIMITS.'])
    expect([text, spoken(text)]).toEqual([text, 'fr']);
  const titles = screen.getAllByText('TASK').map((e) => e.getAttribute('lang'));
  expect(titles).toEqual(['fr', 'fr']);
  expect(screen.getByTestId('verdict').closest('[lang]')).toBeNull();
});

test('WD-4: sections of pieces side by side are read out each in the language of its protocol', () => {
  const piece = (language: string | undefined, title: string): Lettered =>
    ({
      ...common,
      evaluation: title,
      letter: 'A',
      protocol: inLanguage(language),
      sections: [{ section: title, letter: 'S', title, value: { why: '' }, rated: 0, of: 1 }],
    }) as unknown as Lettered;
  render(SectionProfiles, { rows: [piece('fr', 'VOIES'), piece(undefined, 'AIRWAY')] });
  expect([spoken('S VOIES'), spoken('S AIRWAY')]).toEqual(['fr', 'en']);
});
