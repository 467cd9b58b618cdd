import type { TrialEntry, TrialVoid } from './trial.ts';

/** A trial with what became of it. */
export interface ListedTrial {
  key: string;
  /** Its author. */
  seat: string;
  entry: TrialEntry;
  /** When it was kept: the server's clock, or the device's own while it is on the device alone. */
  keptAt: string;
  /** The entry of the same author that takes its place. */
  replacedBy: string | null;
  voided: { by: string; reason: string; at: string } | null;
  /** Its model has left since; `counts` false when a moderator took what they did out of the evidence. */
  withdrew?: { at: string; counts: boolean };
}

/** Trials by key, in the order they were kept. */
export type TrialList = ReadonlyMap<string, ListedTrial>;

/** A board entry on a trial, with who wrote it and when it was kept. */
export interface PostedTrial {
  key: string;
  seat: string;
  entry: TrialEntry | TrialVoid;
  keptAt: string;
}

/** The trial that stands for `key` now: itself, or the last correction of it. */
const newest = (list: TrialList, key: string): ListedTrial | undefined => {
  let trial = list.get(key);
  while (trial?.replacedBy != null) trial = list.get(trial.replacedBy);
  return trial;
};

/**
 * TR-2: nothing entered is ever lost. A correction takes the place of its author's own trial, and of the newest
 * correction when there is one already; a void, by the author or a moderator, takes the trial with every correction of
 * it out of the evidence, the first reason standing. The old values stay. An entry about a trial that is not there, or
 * not theirs, changes nothing on it.
 */
export const placeTrial = (
  list: TrialList,
  { key, seat, entry, keptAt }: PostedTrial,
  moderates: (seat: string) => boolean,
): TrialList => {
  const next = new Map(list);
  if (entry.kind === 'trial-void') {
    const trial = newest(list, entry.trial);
    const may = trial !== undefined && (trial.seat === seat || moderates(seat));
    if (may && trial.voided === null) {
      const voided = { by: seat, reason: entry.reason, at: keptAt };
      next.set(trial.key, { ...trial, voided });
    }
    return next;
  }
  const old = entry.replaces === null ? undefined : newest(list, entry.replaces);
  const own = old?.seat === seat ? old : undefined;
  if (own) next.set(own.key, { ...own, replacedBy: key });
  next.set(key, { key, seat, entry, keptAt, replacedBy: null, voided: own?.voided ?? null });
  return next;
};

/** SD-5: marks every trial of a model who has left; none is taken away. */
export const markWithdrawn = (
  list: TrialList,
  model: string,
  withdrew: NonNullable<ListedTrial['withdrew']>,
): TrialList =>
  new Map(
    [...list].map(([key, t]) => [key, t.entry.model === model ? { ...t, withdrew } : t] as const),
  );

/** Whether a trial is part of the evidence: neither replaced, nor void, nor taken out because its model left. */
export const isStanding = (trial: ListedTrial): boolean =>
  trial.replacedBy === null && trial.voided === null && trial.withdrew?.counts !== false;
