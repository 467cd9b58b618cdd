import { describe, expect, test } from 'vitest';
import type { TrialEntry } from '../../../shared-types/src/index.ts';
import { stopwatchMark } from '../../../web/src/components/series-marks.ts';
import {
  goSecond,
  splitMarks,
  timedTrials,
  withinFile,
} from '../../../web/src/state/series-splits.ts';
import type { TrialRow } from '../../../web/src/state/trial-rows.ts';

const run = {
  done: true,
  seconds: '9.5',
  splits: [
    { label: 'Mask off', seconds: '4' },
    { label: '', seconds: '6.25' },
  ],
};

describe('the marks of a stopwatch on a series', () => {
  test('stand at their second of the file, each with the time since the one before', () => {
    expect(splitMarks(run, -1.5)).toEqual([
      { what: 'go', label: '', seconds: -1.5, since: null },
      { what: 'split', label: 'Mask off', seconds: 2.5, since: 4 },
      { what: 'split', label: '', seconds: 4.75, since: 2.25 },
      { what: 'done', label: '', seconds: 8, since: 3.25 },
    ]);
    const given = splitMarks({ ...run, done: false, splits: [] }, 0);
    expect(given.map((m) => [m.what, m.seconds])).toEqual([
      ['go', 0],
      ['not-done', 9.5],
    ]);
  });

  test('that lie before or after the file are counted and not drawn', () => {
    const { inside, outside } = withinFile(splitMarks(run, -1.5), { from: 0, to: 5 });
    expect(inside.map((m) => m.seconds)).toEqual([2.5, 4.75]);
    expect(outside).toBe(2);
  });

  test('are told apart in words, and drawn whole', () => {
    expect(splitMarks(run, 1).map(stopwatchMark)).toEqual([
      { from: 1, label: 'Go', taken: true },
      { from: 5, label: 'Mask off (+4.0 s)', taken: true },
      { from: 7.25, label: 'Split (+2.3 s)', taken: true },
      { from: 10.5, label: 'Done (+3.3 s)', taken: true },
    ]);
  });

  test.each([
    ['2,5', 2.5],
    [' -0.25 ', -0.25],
    ['12', 12],
    ['', undefined],
    ['1:05', undefined],
    ['1e3', undefined],
  ])('the start typed as "%s"', (typed, expected) => {
    expect(goSecond(typed)).toBe(expected);
  });

  test('only trials that stand and were timed are offered, the newest first', () => {
    const row = (key: string, entry: Partial<TrialEntry>, more: Partial<TrialRow> = {}): TrialRow =>
      ({ key, entry: { ...run, ...entry }, replacedBy: null, voided: null, ...more }) as TrialRow;
    const rows = [
      row('first', {}),
      row('untimed', { seconds: null }),
      row('corrected', {}, { replacedBy: 'last' }),
      row('last', {}),
    ];
    expect(timedTrials(rows).map((r) => r.key)).toEqual(['last', 'first']);
  });
});
