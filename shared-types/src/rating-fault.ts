import { protocolTasks } from './protocol-tasks.ts';
import type { Protocol } from './protocol.ts';
import type { Rating } from './rating.ts';

/** Why a rating cannot stand for a task of this protocol; undefined when it can. */
export const ratingFault = (
  rating: Rating,
  task: string,
  protocol: Protocol,
): string | undefined => {
  const { scale } = protocol;
  const item = protocolTasks(protocol).find((t) => t.id === task);
  if (!item) return `The protocol has no task "${task}".`;
  if (rating.step !== null && (rating.step < scale.min || rating.step > scale.max)) {
    return `The scale runs from ${String(scale.min)} to ${String(scale.max)}.`;
  }
  if (rating.easier && rating.step !== scale.datum) {
    return '"Easier than without" goes with the datum only.';
  }
  if (rating.answer === 'not-applicable' && rating.reason === null) {
    return 'Say why the task does not apply.';
  }
  if (rating.critical !== null && item.critical === null) {
    return 'This task cannot gate, so no critical failure can be proposed.';
  }
  return undefined;
};
