import {
  HELD_REMARK_KEY,
  OFF_SCALE,
  protocolTasks,
  sheetKey,
  worstPoint,
  type Answer,
  type Protocol,
  type Rating,
  type SheetField,
} from '@unhindered/shared-types';

/** The plain values of a sheet's map, as its document holds them. */
export type SheetValues = ReadonlyMap<string, unknown>;

/** Text as the log keeps it: trimmed and NFC; what trims to nothing is nothing. */
const textOf = (value: unknown): string | null =>
  typeof value === 'string' ? value.normalize('NFC').trim() || null : null;

/** One task's rating from a sheet; undefined when it was not answered. */
export const ratingFromSheet = (
  values: SheetValues,
  task: string,
  datum: number | null,
): Rating | undefined => {
  const read = (field: SheetField): unknown => values.get(sheetKey(task, field));
  const answer = read('answer');
  const off = OFF_SCALE.find((o) => o === answer);
  const step = typeof answer === 'number' ? answer : null;
  if (off === undefined && step === null) return undefined;
  const kind: Answer = off ?? 'step';
  return {
    answer: kind,
    step,
    easier: step !== null && step === datum && read('easier') === true,
    reason: off === undefined ? null : textOf(read('reason')),
    critical: step === null ? null : textOf(read('critical')),
    note: textOf(read('note')),
    at: textOf(read('at')),
  };
};

/** Ratings of the given tasks that a sheet answers, in protocol order. */
export const ratingsFromSheet = (
  values: SheetValues,
  protocol: Protocol,
  tasks: readonly string[],
): { task: string; rating: Rating }[] =>
  protocolTasks(protocol).flatMap(({ id, critical }) => {
    if (!tasks.includes(id)) return [];
    const rating = ratingFromSheet(values, id, protocol.scale.datum);
    if (!rating) return [];
    return [{ task: id, rating: critical === null ? { ...rating, critical: null } : rating }];
  });

/** Remarks held in a sheet until the opening, in NFC, oldest first by the device's clock. */
export const heldRemarks = (
  values: SheetValues,
): { task: string | null; text: string; at: string }[] =>
  [...values]
    .flatMap(([key, value]) => {
      if (!HELD_REMARK_KEY.test(key) || typeof value !== 'string') return [];
      const { task, text, at } = JSON.parse(value) as { task: string; text: string; at: string };
      return [{ key, task, text: text.normalize('NFC'), at }];
    })
    .toSorted((a, b) => a.at.localeCompare(b.at) || a.key.localeCompare(b.key))
    .map(({ task, text, at }) => ({ task, text, at }));

/** Whether a step is the worst the scale has. */
export const isWorst = (step: number, protocol: Protocol): boolean =>
  step === worstPoint(protocol.scale);
