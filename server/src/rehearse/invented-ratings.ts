import { protocolTasks, type Protocol, type SheetField } from '@unhindered/shared-types';

/** What a simulated reviewer does with one task, as fields of the sheet. Invented, like the whole evaluation. */
export type InventedRating = Partial<Record<SheetField, unknown>>;

const clamp = (value: number, low: number, high: number): number =>
  Math.min(high, Math.max(low, value));

/**
 * Ratings of `reviewers` simulated people: a true hindrance per task, a habit per person, noise, and now and then a
 * dissent, a task that does not apply, or a proposed critical failure.
 */
export const inventedRatings = (
  protocol: Protocol,
  reviewers: number,
  random: () => number,
): Map<string, InventedRating>[] => {
  const { min, max, datum } = protocol.scale;
  const habits = Array.from({ length: reviewers }, () => random() - 0.5);
  const truth = new Map(
    protocolTasks(protocol).map((t) => [t.id, min + random() ** 1.6 * (max - min)]),
  );
  const chest = new Set(['chest-access', 'aed-pads', 'torso-removal']);
  return habits.map((habit, r) => {
    const own = new Map<string, InventedRating>();
    for (const task of protocolTasks(protocol)) {
      if (chest.has(task.id)) {
        own.set(task.id, { answer: 'not-applicable', reason: 'The piece leaves the chest free.' });
        continue;
      }
      if (task.onVideo === 'no' && r === reviewers - 1) {
        own.set(task.id, { answer: 'not-observed' });
        continue;
      }
      const dissent = random() < 0.06 ? (random() < 0.5 ? -3 : 3) : 0;
      const noise = (random() + random() + random() - 1.5) * 0.9;
      const step = clamp(Math.round((truth.get(task.id) ?? 0) + habit + noise + dissent), min, max);
      own.set(task.id, {
        answer: step,
        ...(step === datum && random() < 0.15 ? { easier: true } : {}),
        ...(step === max && task.critical !== null
          ? { critical: 'It could not be done within the limit in the staged trials.' }
          : {}),
      });
    }
    return own;
  });
};
