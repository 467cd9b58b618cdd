import { protocolTasks } from './protocol-tasks.ts';
import type { Protocol } from './protocol.ts';
import type { ListedTrial } from './trial-list.ts';

/** Measures of chest compressions: a task that takes one tires whoever does it. */
const COMPRESSIONS: readonly string[] = ['cc_rate', 'cc_depth_mm', 'p_depth', 'p_recoil', 'ccf'];

/**
 * Three minutes between bouts of two minutes of compressions, as in Longo 2023; where the protocol has no rule of its
 * own this one is used for the tasks that measure compressions. A house rule of use, not a published limit.
 */
export const REST_MINUTES = 3;

/** The protocol's rest for a task: how many minutes between two tiring trials of one operator; null for none. */
export const restMinutes = (protocol: Protocol, task: string): number | null => {
  if (protocol.rest) return protocol.rest.tasks.includes(task) ? protocol.rest.minutes : null;
  const own = protocolTasks(protocol).find((t) => t.id === task)?.measures ?? [];
  return own.some((m) => COMPRESSIONS.includes(m)) ? REST_MINUTES : null;
};

/**
 * SD-7: how many milliseconds of an operator's rest are left at `now` before a tiring task; 0 when none is. Counted
 * from the newest tiring trial of the same operator on the board, whichever tiring task it was and whether or not it
 * counts, and from when it was entered: a trial that was typed late makes the rest look longer than it is. A correction
 * is no new trial. It warns and never bars: who stands there knows more.
 */
export const restLeft = (
  trials: readonly Pick<ListedTrial, 'entry'>[],
  protocol: Protocol,
  next: { task: string; operator: string },
  now: number,
): number => {
  const minutes = restMinutes(protocol, next.task);
  if (minutes === null) return 0;
  const entered = trials
    .map((t) => t.entry)
    .filter((e) => e.replaces === null && e.operator === next.operator)
    .filter((e) => restMinutes(protocol, e.task) !== null)
    .map((e) => Date.parse(e.at))
    .filter((at) => at <= now);
  return entered.length === 0 ? 0 : Math.max(0, Math.max(...entered) + minutes * 60_000 - now);
};
