import { cleanup, render, screen } from '@testing-library/svelte';
import { afterEach, expect, test } from 'vitest';
import type { AccessAnswer, AccessShown, LimitsShown } from '../../shared-types/src/index.ts';
import AccessCompare from '../../web/src/components/AccessCompare.svelte';
import type { Lettered } from '../../web/src/components/compared.ts';

afterEach(cleanup);

const WHY = 'the trials are too alike or too few to tell how far this may be off';

const row = {
  evaluation: 'ev_a',
  letter: 'A',
  specimen: { model: 'Heron 3' },
  protocol: { id: 'p', version: '1.0.0' },
} as unknown as Lettered;

const answer = (limits: readonly LimitsShown[]): AccessAnswer => {
  const figures = {
    by: limits.map((l, i) => ({ seconds: 30 * (i + 1), probability: 1, limits: l })),
    median: { value: 11.9 },
    medianLimits: { lower: 9.7, upper: 15.4 },
    access: 1,
    curve: [{ seconds: 0, probability: 0 }],
    band: [],
  } as unknown as AccessShown;
  const rung = { title: 'Cut', trials: 9 };
  const ladder = {
    id: 'l',
    goal: 'Reach the airway',
    rungs: [rung],
    figures,
    why: null,
    notes: [],
  };
  return { evaluation: 'ev_a', ladders: [ladder], bare: [] } as unknown as AccessAnswer;
};

test('a reason that several figures share stands once below the table, and in each cell for those who listen', () => {
  const limits = [{ why: WHY }, { lower: 0.1, upper: 0.6 }, { why: WHY }];
  render(AccessCompare, { rows: [row], found: [answer(limits)] });
  const cells = screen
    .getAllByRole('cell')
    .map((c) => c.textContent.replaceAll(/\s+/gu, ' ').trim());
  expect(cells.slice(0, 3)).toEqual([`100 %1, ${WHY}`, '100 %10 % to 60 %', `100 %1, ${WHY}`]);
  const below = [...document.querySelectorAll('p')].filter((p) => p.textContent.includes(WHY));
  expect(below.map((p) => p.textContent.trim())).toEqual([`1 ${WHY}`]);
});
