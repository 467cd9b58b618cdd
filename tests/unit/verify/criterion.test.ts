import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  placeTrial,
  protocolTasks,
  type TrialEntry,
  type TrialList,
} from '../../../shared-types/src/index.ts';
import { taskEvidence } from '../../../server/src/evaluation/evidence.ts';
import { trialStatus } from '../../../server/src/verify/figures/evidence.ts';
import { emptyReplay } from '../../../server/src/verify/replay.ts';
import { DEFAULT_CRITERIA, entryKey, protocol, seatOf, trial } from '../../support/trials.ts';

const SEAT = seatOf('a');
const tasks = protocolTasks(protocol).filter((t) => DEFAULT_CRITERIA.has(t.id));

/** Values near the limits of the criteria, where two readings of a rule would part. */
const near = fc.constantFrom(
  '0',
  '3.9',
  '4',
  '5',
  '5.1',
  '9.94',
  '10',
  '10.05',
  '20',
  '20.1',
  '30.5',
  '40',
  '180',
  '180.05',
  '300',
);
const entry = (
  task: string,
  state: string,
  measures: readonly string[],
): fc.Arbitrary<TrialEntry> =>
  fc
    .record({
      condition: fc.constantFrom('equipment' as const, 'equipment' as const, 'reference' as const),
      operator: fc.constantFrom('K1', 'K2'),
      done: fc.boolean(),
      seconds: fc.option(near, { nil: null }),
      criterion: fc.constantFrom(true, false, null),
      taken: fc.subarray([...measures]),
      value: near,
      sign: fc.constantFrom('', '-'),
      of: fc.integer({ min: 1, max: 30 }),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
    })
    .map(({ taken, value, sign, of, share, ...rest }) => {
      const successes = Math.round(share * of);
      return trial({
        ...rest,
        task,
        state,
        measures: taken.map((measure) =>
          measure === 'p_vent'
            ? { measure, value: String((100 * successes) / of), counts: { successes, of } }
            : { measure, value: sign !== '' && value !== '0' ? `-${value}` : value, counts: null },
        ),
      });
    });

describe('TC-1: the verifier judges criteria by a reading of its own', () => {
  test.each(tasks.map((t) => [t.id, t] as const))('%s', (_, task) => {
    fc.assert(
      fc.property(
        fc.array(entry(task.id, task.state, task.measures), { minLength: 1, maxLength: 6 }),
        (entries) => {
          const list = entries.reduce<TrialList>(
            (all, e) =>
              placeTrial(
                all,
                { key: entryKey(SEAT), seat: SEAT, entry: e, keptAt: e.at },
                () => false,
              ),
            new Map(),
          );
          const replay = emptyReplay();
          replay.trials = entries.map((now) => ({ seat: SEAT, keys: [], now, out: false }));
          expect(trialStatus(replay, protocol, task)).toBe(
            taskEvidence(list, protocol, task.id)?.criterion?.status,
          );
        },
      ),
      { seed: 71, numRuns: 400 },
    );
  });
});
