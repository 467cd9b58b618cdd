import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import {
  trialEntry,
  type SeriesImport,
  type SeriesQuestion,
  type SeriesValue,
} from '../../../shared-types/src/index.ts';
import { seriesQuestion } from '../../../server/src/measures/series-question.ts';
import { keepable, recordName, sourceOf } from '../../../web/src/state/series-keep.ts';
import {
  checkDraft,
  draftOf,
  emptyDraft,
  typedOver,
  withSource,
  type TrialDraft,
  type TrialSetup,
} from '../../../web/src/state/trial-draft.ts';
import { MOTION_MAPPING } from '../../support/motion-file.ts';
import { FACE_MASK, protocol, trial } from '../../support/trials.ts';

const value = (measure: string, x: number, counts?: [number, number]): SeriesValue => ({
  measure,
  entry: {
    value: x,
    censored: false,
    counts: counts ? { successes: counts[0], of: counts[1] } : undefined,
  },
});
const VALUES = [value('rom_fe', 12.3456789012345), value('theta_max', 14), value('ccf', 82.5)];
const ANSWER = {
  hash: 'a'.repeat(64),
  bytes: 10,
  software: 'unhindered 0.1.0',
  read: { ok: true, rows: 2000 },
  values: VALUES,
  thresholds: {},
} as unknown as SeriesImport;
const QUESTION: SeriesQuestion = {
  kind: 'motion',
  mapping: { ...MOTION_MAPPING, time: { column: 'Zeit \u00e9 e\u0301 \u{1F600}', unit: 's' } },
};
const SOURCE = sourceOf(ANSWER, QUESTION, 'neck.csv');
const setup: TrialSetup = {
  task: FACE_MASK,
  state: 'as-worn',
  condition: 'equipment',
  operator: 'K1',
};
const from = (draft: TrialDraft): TrialDraft =>
  withSource(draft, SOURCE, keepable(VALUES, protocol, FACE_MASK).values);
const enter = (draft: TrialDraft) =>
  checkDraft({ ...draft, outcome: 'done', criterion: 'no', time: '60' }, setup, protocol, {
    splits: [],
    at: '2026-03-02T09:00:00.000Z',
    replaces: null,
  });

describe('SR-5: figures kept in a trial name their file', () => {
  test('only what the task asks for is taken, to twelve digits, shares by their counts', () => {
    expect(keepable(VALUES, protocol, FACE_MASK)).toEqual({
      values: { rom_fe: '12.3456789012', theta_max: '14' },
      notAsked: ['Chest-compression fraction'],
      ownTime: null,
    });
    const breaths = [value('p_vent', 75, [15, 20]), value('t_first_ventilation', 18)];
    expect(keepable(breaths, protocol, 'fm-left-on-access')).toMatchObject({
      values: { p_vent: '15/20' },
      ownTime: 'Time from \u2018go\u2019 to first successful breath'.replace(
        /[\u2018\u2019]/gu,
        "'",
      ),
    });
  });

  test('how it was read comes back to the letter, and the entry is a good one', () => {
    expect(SOURCE).toMatchObject({ file: 'neck.csv', rows: 2000, software: 'unhindered 0.1.0' });
    expect(SOURCE.as).toMatch(/^[ -~]+$/u);
    expect(v.parse(seriesQuestion, SOURCE.as)).toEqual(QUESTION);
    const { entry, faults, doubts } = enter(from(emptyDraft()));
    expect({ faults, doubts }).toEqual({ faults: {}, doubts: {} });
    expect(entry?.sources).toEqual([{ ...SOURCE, measures: ['rom_fe', 'theta_max'] }]);
    expect(v.is(trialEntry, entry)).toBe(true);
    expect(entry?.measures).toContainEqual({
      measure: 'rom_fe',
      value: '12.3456789012',
      counts: null,
    });
  });

  test.each([
    ['  Rolle\u0301\tNr. 1.csv ', 'Roll\u00e9 Nr. 1.csv'],
    ['x\u202ecsv.exe\u0007', 'xcsv.exe'],
    ['y'.repeat(300), 'y'.repeat(120)],
    ['\u0000', ''],
  ])('the name %j is kept as %j', (name, kept) => {
    expect(recordName(name)).toBe(kept);
  });

  test.each([
    ['no measure of its own', { measures: ['rpe'] }],
    ['nothing that it gave', { measures: [] }],
    ['a hash that is none', { sha256: 'abc' }],
    ['no name', { file: ' ' }],
    ['a way of reading beyond ASCII', { as: '{"kind":"\u00e9"}' }],
    ['no way of reading', { as: '' }],
  ])('a source with %s is refused', (_what, change) => {
    const measures = [{ measure: 'rom_fe', value: '12.3', counts: null }];
    const good = { ...SOURCE, measures: ['rom_fe'] };
    expect(v.is(trialEntry, trial({ measures, sources: [good] }))).toBe(true);
    expect(v.is(trialEntry, trial({ measures, sources: [{ ...good, ...change }] }))).toBe(false);
    expect(v.is(trialEntry, trial({ measures, sources: [good, good] }))).toBe(false);
  });
});

describe('SR-6: a value comes from its file only as long as it is the one it gave', () => {
  test('a correction keeps the source, and what is typed over leaves it', () => {
    const old = enter(from(emptyDraft())).entry ?? expect.fail('no entry');
    const again = draftOf(old, protocol);
    expect(enter(again).entry?.sources).toEqual(old.sources);
    const over = { ...again, ...typedOver(again, 'rom_fe', '13') };
    expect(enter(over).entry?.sources).toEqual([{ ...SOURCE, measures: ['theta_max'] }]);
    const both = { ...over, ...typedOver(over, 'theta_max', '') };
    expect(enter(both).entry).not.toHaveProperty('sources');
  });

  test('another file takes the place of the one before, value by value', () => {
    const other = { ...SOURCE, sha256: 'b'.repeat(64), file: 'again.csv' };
    const draft = withSource(from(emptyDraft()), other, { theta_max: '15' });
    expect(enter(draft).entry?.sources).toEqual([
      { ...SOURCE, measures: ['rom_fe'] },
      { ...other, measures: ['theta_max'] },
    ]);
  });

  test('a value that cannot be is refused by its limits, and an unusual one waits', () => {
    const odd = (x: string) => enter(withSource(emptyDraft(), SOURCE, { theta_max: x }));
    expect(odd('200').faults['theta_max']).toMatch(/above 180 deg, which cannot be/u);
    expect(odd('60').doubts['theta_max']).toMatch(/unusual/u);
    const press = checkDraft(
      { ...withSource(emptyDraft(), SOURCE, { ccf: '82.5' }), outcome: 'done', criterion: 'no' },
      { ...setup, task: 'cpr-compressions' },
      protocol,
      { splits: [], at: '2026-03-02T09:00:00.000Z', replaces: null },
    );
    // A share of time has nothing to count: it needs no confirmation when a file gives it.
    expect(press).toMatchObject({ doubts: {}, entry: { measures: [{ measure: 'ccf' }] } });
  });
});
