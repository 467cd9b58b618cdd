import type { EvaluationEvent, Protocol, TrialEntry } from '../../shared-types/src/index.ts';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { trialStatus } from '../../server/src/verify/figures/evidence.ts';
import { recompute } from '../../server/src/verify/figures/result.ts';
import { emptyReplay, takeEvent, tasksOf } from '../../server/src/verify/replay.ts';
import type { BundleJson } from './two-verifiers.ts';

type Event = EvaluationEvent & { actor: string };

const between = (measure: string, low: number, high: number) => (dice: Dice) => {
  const value = String(Math.round(10 * (low + dice.roll() * (high - low))) / 10);
  return { measure, value, counts: null };
};

/** What each task has measured, around the limits of its criterion. */
const MEASURED: Record<string, ((dice: Dice) => TrialEntry['measures'][number])[]> = {
  'fm-tool-first': [between('t_fm', 150, 180)],
  'helmet-removal': [between('theta_max', 20, 35)],
  'cpr-compressions': [between('cc_depth_mm', 28, 55)],
  'combined-removal': [between('delta_fe_end', -8, 8)],
  'bvm-ventilation': [
    (dice) => {
      const of = 1 + Math.floor(dice.roll() * 30);
      const successes = Math.floor(dice.roll() * dice.roll() * (of + 1));
      return { measure: 'p_vent', value: '50', counts: { successes, of } };
    },
  ],
};

/** Another trial in the place of one: what counts, what was taken, what was judged. */
const otherTrial = (
  t: TrialEntry,
  tasks: readonly string[],
  timed: boolean,
  p: Protocol,
  dice: Dice,
): void => {
  t.task = dice.of(tasks);
  const state = tasksOf(p).find((x) => x.id === t.task)?.state ?? t.state;
  t.state = dice.one(8) ? 'all-removed' : state;
  t.condition = dice.one(6) ? dice.of(['reference', 'practice', 'hidden-fault']) : 'equipment';
  t.done = !dice.one(3);
  // A third of the times lie around a cap, within the tenth that it is rounded to.
  const time = dice.one(3) ? 179.8 + dice.roll() * 0.4 : 0.001 + dice.roll() * 310;
  t.seconds = dice.one(7) ? null : String(Math.round(time * 1000) / 1000);
  if (!timed) Object.assign(t, { done: true, seconds: null });
  t.criterion = dice.one(5) ? null : dice.one(2);
  t.splits = [];
  t.measures = (MEASURED[t.task] ?? []).flatMap((m) => (dice.one(4) ? [] : [m(dice)]));
  delete t.sources;
};

/** Throws of chance: a number below 1, one time in n, one of a list. */
export class Dice {
  readonly roll: () => number;
  constructor(random: () => number) {
    this.roll = random;
  }
  one(n: number): boolean {
    return this.roll() * n < 1;
  }
  of<T>(list: readonly T[]): T {
    const at = Math.floor(this.roll() * list.length);
    return list[at]!;
  }
}

/**
 * The same panel on another day: its trials are changed at random, gates say what the first verifier reads from them,
 * and the result is what it computes. Every fifth day
 * nobody takes a time and every task gets a few trials. The events must be signed again.
 */
export const randomDay = (bundle: BundleJson, day: number, random: () => number): void => {
  const dice = new Dice(random);
  const p = JSON.parse(String(bundle['protocol'])) as Protocol;
  const replay = emptyReplay();
  // Few tasks, so that some get many trials; all were rated, and decided on where they can gate.
  const tasks = ['wear-comfort', 'chest-access', ...Object.keys(MEASURED)];
  const timed = day % 5 !== 0;
  const some = timed ? [dice.of(tasks), dice.of(tasks), dice.of(tasks)] : tasks;
  const rule = (
    JSON.parse(bundle.events[0] ?? '') as Extract<Event, { type: 'evaluation-created' }>
  ).data.divergence;
  bundle.events = bundle.events.map((text) => {
    const event = JSON.parse(text) as Event;
    if (event.type === 'entry-posted' && event.data.entry.kind === 'trial') {
      // This task keeps its trials, on which its second decision rests.
      if (event.data.entry.task !== 'fm-cut-backup')
        otherTrial(event.data.entry, some, timed, p, dice);
    }
    if (event.type === 'gate-decided') {
      const task = tasksOf(p).find((t) => t.id === event.data.task);
      if (task) event.data.backedByTrials = trialStatus(replay, p, task) === 'met';
    }
    if (event.type === 'evaluation-locked') {
      event.data.result = recompute(replay, p, rule);
      bundle['result'] = event.data.result;
    }
    takeEvent(replay, event, event.actor);
    return canonicalText(event);
  });
};
