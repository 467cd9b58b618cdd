import {
  roundHalfUp,
  type AccessLadder,
  type AccessRung,
  type AccessShown,
  type Shown,
} from '@unhindered/shared-types';
import type { Figure } from '../consensus/figure.ts';
import { accessFigures, REPLICATES, type AccessFigures } from '../measures/access-figures.ts';
import { rungOutcomes } from '../measures/rung.ts';
import { shareOf } from '../measures/times-summary.ts';
import type { GatheredLadder, GatheredRung } from './ladders.ts';

/** Numbers in [0, 1) from a seed that is shown with the figures; each stream starts anew. */
interface Seeded {
  seed: number;
  stream: () => () => number;
}

/** Ways through one ladder that are computed at most: some seconds of a thread, and some tens of megabytes. */
const MOST_WAYS = 200_000;

const NOT_REACHED = 'half of the cases or more never get access';

const limitsShown = <T>(found: Figure<T>): T | { why: string } =>
  found.ok ? found.value : { why: found.why };

const medianLimits = ({ medianLimits: found }: AccessFigures): AccessShown['medianLimits'] => {
  if (!found.ok) return { why: found.why };
  const { lower, upper } = found.value;
  return {
    lower: lower.reached ? lower.seconds : null,
    upper: upper.reached ? upper.seconds : null,
  };
};

const shown = (found: AccessFigures, seed: number): AccessShown => {
  const { median, closedForm: closed } = found;
  const mean = closed.ok ? closed.value.meanToAccess : undefined;
  const meanShown: Shown = mean?.ok ? { value: mean.value } : { why: mean?.why ?? '' };
  return {
    by: found.by.map((b) => ({ ...b, limits: limitsShown(b.limits) })),
    median: median.reached ? { value: median.seconds } : { why: NOT_REACHED },
    medianLimits: medianLimits(found),
    access: found.access,
    closedForm: closed.ok ? { access: closed.value.access, mean: meanShown } : { why: closed.why },
    curve: found.curve,
    band: found.band,
    replicates: found.replicates,
    seed,
  };
};

/** How many ways lead through a ladder: every mix of failed times before a done one. */
const waysThrough = (rungs: readonly GatheredRung[]): number => {
  let open = 1;
  let ways = 0;
  for (const { rung } of rungs) {
    const { outcomes } = rungOutcomes(rung);
    const done = outcomes.filter((o) => o.done).length;
    ways += open * done;
    open *= outcomes.length - done;
  }
  return ways;
};

/** Why a ladder has no figures, or undefined. */
const missing = ({ rungs, minTrials }: GatheredLadder): string | undefined => {
  const tried = rungs.filter((r) => r.rung.trials.length > 0);
  if (tried.length === 0) return 'No timed trial of these techniques counts yet.';
  const few = rungs.filter(
    ({ rung: { trials } }, i) => trials.length < minTrials && (i === 0 || trials.length > 0),
  );
  if (few.length > 0) {
    const named = few.map((r) => `${r.title} (${String(r.rung.trials.length)})`).join(', ');
    return `Not enough trials: ${named}. The protocol asks for at least ${String(minTrials)} of a technique.`;
  }
  if (waysThrough(rungs) > MOST_WAYS) {
    return `There are more than 200,000 ways through these trials, more than are computed here.`;
  }
  return undefined;
};

const counted = (n: number, one: string, many: string): string =>
  `${String(n)} ${n === 1 ? one : many}`;

const asideNotes = (rungs: readonly GatheredRung[]): string[] =>
  rungs.flatMap(({ title, notDone, atCap, untimed, rung: { capSeconds } }) => [
    ...(notDone > 0
      ? [
          `${title}: ${counted(notDone, 'trial was', 'trials were')} not done in time. Such a time is no time to access and is in no mean; what it took is lost before the next technique begins.`,
        ]
      : []),
    ...(atCap > 0
      ? [
          `${title}: ${counted(atCap, 'trial', 'trials')} not done had no time and counted as failed at ${roundHalfUp(capSeconds ?? 0, 0)} s.`,
        ]
      : []),
    ...(untimed > 0
      ? [`${title}: ${counted(untimed, 'trial', 'trials')} left out, nobody took the time.`]
      : []),
  ]);

const rungShown = (r: GatheredRung, begun: number | null): AccessRung => {
  const { rung, ...rest } = r;
  const share = shareOf(r.done, rung.trials.length);
  return {
    ...rest,
    capSeconds: rung.capSeconds,
    trials: rung.trials.length,
    share: share.ok
      ? { value: share.value.share, lower: share.value.limits[0], upper: share.value.limits[1] }
      : null,
    begun,
  };
};

/**
 * LA-2: time to access of each ladder, with limits drawn from a seed that is said. A ladder whose first technique, or
 * any tried one, has fewer trials than the protocol's gate asks for has no figures: it says "not enough trials". A
 * later technique nobody tried makes them lower bounds, and they say so. Takes up to some seconds: not for the thread
 * that serves everybody.
 */
export const ladderFigures = (
  gathered: readonly GatheredLadder[],
  { seed, stream }: Seeded,
  replicates = REPLICATES,
): AccessLadder[] =>
  gathered.map((ladder) => {
    const { id, goal, rungs } = ladder;
    const why = missing(ladder);
    const found =
      why === undefined
        ? accessFigures(
            rungs.map((r) => r.rung),
            stream(),
            replicates,
          )
        : undefined;
    return {
      id,
      goal,
      rungs: rungs.map((r, i) => rungShown(r, found?.rungs[i]?.begun ?? null)),
      figures: found ? shown(found, seed) : null,
      why: why ?? null,
      notes: [...(found?.notes ?? []), ...asideNotes(rungs)],
    };
  });
