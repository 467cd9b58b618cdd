import { describe, expect, test } from 'vitest';
import {
  placeTrial,
  type Protocol,
  type TrialEntry,
  type TrialList,
} from '../../../shared-types/src/index.ts';
import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { ladderFigures } from '../../../server/src/evaluation/ladder-figures.ts';
import { gatherLadders } from '../../../server/src/evaluation/ladders.ts';
import { entryKey, FACE_MASK, failed, protocol, seatOf, trial } from '../../support/trials.ts';

const SEAT = seatOf('a');
const listOf = (...entries: TrialEntry[]): TrialList =>
  entries.reduce<TrialList>(
    (list, entry) =>
      placeTrial(list, { key: entryKey(SEAT), seat: SEAT, entry, keptAt: entry.at }, () => false),
    new Map(),
  );
const gathered = (p: Protocol, ...entries: TrialEntry[]) => {
  const [ladder] = gatherLadders(listOf(...entries), p);
  if (!ladder) throw new Error('the protocol has no ladder');
  return ladder;
};
const shown = (...entries: TrialEntry[]) => {
  const [ladder] = ladderFigures([gathered(protocol, ...entries)], seededChance(5), 200);
  if (!ladder) throw new Error('no answer');
  return ladder;
};
const cut = (more: Partial<TrialEntry> = {}) => trial({ task: 'fm-cut-backup', ...more });

describe('LA-1: the trials of a ladder, by rung', () => {
  test('each rung has the standing trials with the equipment in the state of its task', () => {
    const first = trial({ seconds: '31' });
    const list = listOf(first, failed({ seconds: '40' }), trial({ condition: 'reference' }));
    const [key] = [...list.keys()];
    const seat = SEAT;
    const at = first.at;
    const voided = placeTrial(
      list,
      {
        key: entryKey(seat),
        seat,
        entry: { kind: 'trial-void', task: FACE_MASK, trial: key ?? '', reason: 'Strap open.', at },
        keptAt: at,
      },
      () => false,
    );
    const rungs = (trials: TrialList) => gatherLadders(trials, protocol)[0]?.rungs ?? [];
    expect(rungs(list).map((r) => [r.task, r.rung.capSeconds, r.rung.trials])).toEqual([
      [
        FACE_MASK,
        180,
        [
          { operator: 'K1', seconds: 31, done: true },
          { operator: 'K1', seconds: 40, done: false },
        ],
      ],
      ['fm-cut-backup', 180, []],
      ['helmet-removal', 300, []],
    ]);
    expect(rungs(voided)[0]?.rung.trials).toEqual([{ operator: 'K1', seconds: 40, done: false }]);
    const others = [{ state: 'mask-removed' }, { condition: 'practice' as const }];
    for (const other of others) {
      expect(gathered(protocol, trial(other)).rungs[0]?.rung.trials).toEqual([]);
    }
  });

  test('a correction takes the place of the trial it corrects', () => {
    const list = listOf(trial({ seconds: '31' }));
    const [key] = [...list.keys()];
    const entry = trial({ seconds: '13', replaces: key ?? '' });
    const now = placeTrial(
      list,
      { key: entryKey(SEAT), seat: SEAT, entry, keptAt: entry.at },
      () => false,
    );
    expect(gatherLadders(now, protocol)[0]?.rungs[0]?.rung.trials).toEqual([
      { operator: 'K1', seconds: 13, done: true },
    ]);
  });

  test('a failure without a time failed at the cap; what can stand nowhere is counted', () => {
    const [rung] = gathered(
      protocol,
      failed({ seconds: null }),
      trial({ seconds: null }),
      failed({ seconds: '200' }),
    ).rungs;
    expect(rung?.rung.trials.map((t) => [t.seconds, t.done])).toEqual([
      [180, false],
      [200, false],
    ]);
    expect(rung).toMatchObject({ done: 0, notDone: 2, atCap: 1, untimed: 1 });
    const uncapped: Protocol = {
      ...protocol,
      ladders: protocol.ladders.map((l) => ({
        ...l,
        rungs: l.rungs.map((r) => ({ ...r, capSeconds: null })),
      })),
    };
    const [open] = gathered(uncapped, failed({ seconds: null }), failed()).rungs;
    expect(open).toMatchObject({ notDone: 1, atCap: 0, untimed: 1 });
    expect(open?.rung.trials).toHaveLength(1);
  });

  test('a protocol without ladders has none', () => {
    expect(gatherLadders(listOf(trial()), { ...protocol, ladders: [] })).toEqual([]);
  });
});

describe('LA-2: time to access from typed trials', () => {
  test('by hand: 22 s and 60 s, else 180 s lost and then 45 s', () => {
    const { figures, rungs, why } = shown(
      trial({ seconds: '22' }),
      trial({ seconds: '60' }),
      failed(),
      failed({ seconds: null }),
      cut({ seconds: '45' }),
      cut({ seconds: '45' }),
    );
    expect(why).toBeNull();
    expect(figures?.by.map((b) => [b.seconds, b.probability])).toEqual([
      [30, 0.25],
      [60, 0.5],
      [120, 0.5],
      [180, 0.5],
    ]);
    expect(figures?.median).toEqual({ value: 60 });
    expect(figures?.curve.at(-1)).toEqual({ seconds: 225, probability: 1 });
    expect(rungs.map((r) => [r.trials, r.done, r.notDone, r.begun])).toEqual([
      [4, 2, 2, 1],
      [2, 2, 0, 0.5],
      [0, 0, 0, 0],
    ]);
    for (const { seconds, lower, upper } of figures?.band ?? []) {
      const at = figures?.curve.findLast((p) => p.seconds <= seconds)?.probability ?? 0;
      expect(lower).toBeLessThanOrEqual(at);
      expect(upper).toBeGreaterThanOrEqual(at);
    }
    expect(figures).toMatchObject({ seed: 5, replicates: 200 });
  });

  test('censored trials are said, and are in no mean', () => {
    const { figures, notes } = shown(trial({ seconds: '20' }), trial({ seconds: '30' }), failed());
    expect(notes.join(' ')).toMatch(/1 trial was not done in time.*no mean/u);
    expect(figures?.closedForm).toEqual({ why: expect.stringMatching(/^no trial of/u) });
    expect(notes.join(' ')).toMatch(/lower bounds/u);
    const both = shown(
      ...[trial({ seconds: '20' }), trial({ seconds: '30' }), failed()],
      ...[cut(), cut()],
      ...[1, 2].map(() => trial({ task: 'helmet-removal', state: 'strap-released' })),
    ).figures?.closedForm;
    // Two thirds take 25 s on average; the third loses 180 s and then takes 60 s.
    expect(both && 'mean' in both && both.mean).toEqual({ value: expect.closeTo(290 / 3, 9) });
  });

  test('not enough trials, and none at all, are said instead of figures', () => {
    expect(shown()).toMatchObject({
      figures: null,
      why: expect.stringMatching(/^No timed trial/u),
    });
    const one = shown(trial());
    expect(one.figures).toBeNull();
    expect(one.why).toMatch(/^Not enough trials: .*\(1\)\..* at least 2/u);
    expect(one.rungs[0]).toMatchObject({ trials: 1, begun: null });
    expect(shown(cut(), cut()).why, 'the first technique is untried').toMatch(/\(0\)/u);
    expect(shown(trial(), trial(), cut()).why).toMatch(/^Not enough trials: .*\(1\)/u);
    expect(shown(trial(), failed()).why).toBeNull();
  });

  test('more ways than can be computed are refused with words', () => {
    const many = (task: string, state: string): TrialEntry[] =>
      Array.from({ length: 75 }, (_, i) =>
        trial({ task, state, done: i === 0, seconds: String(i + 1) }),
      );
    const ladder = gathered(
      protocol,
      ...many(FACE_MASK, 'as-worn'),
      ...many('fm-cut-backup', 'as-worn'),
      ...Array.from({ length: 60 }, (_, i) =>
        trial({ task: 'helmet-removal', state: 'strap-released', seconds: String(i + 1) }),
      ),
    );
    expect(ladderFigures([ladder], seededChance(5), 2)[0]?.why).toMatch(/200,000 ways/u);
  });
});
