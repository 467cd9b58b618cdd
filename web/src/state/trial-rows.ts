import {
  authorOfKey,
  isStanding,
  placeTrial,
  type ListedTrial,
  type SeatSlice,
  type TrialEntry,
  type TrialList,
  type TrialSlice,
  type TrialVoid,
} from '@unhindered/shared-types';
import type { TrialSetup } from './trial-draft.ts';

/** A board entry on a trial as a device holds it. */
export type HeldTrial = TrialEntry | TrialVoid;

/** A trial as the list shows it: `recorded` once the server has told of it. */
export interface TrialRow extends ListedTrial {
  recorded: boolean;
}

/**
 * The trials of the record, with what this device holds beyond them on top: entries made offline are shown at once.
 * Whoever reads the record alone sees the same once they are saved.
 */
export const trialRows = (
  recorded: Readonly<Record<string, readonly TrialSlice[]>>,
  held: ReadonlyMap<string, HeldTrial>,
  seats: readonly SeatSlice[],
): TrialRow[] => {
  const known = Object.values(recorded).flat();
  const keys = new Set(known.map((t) => t.key));
  const moderates = (seat: string): boolean =>
    seats.some((s) => s.seat === seat && s.role === 'moderator');
  const waiting = [...held]
    .filter(([key, entry]) => entry.kind === 'trial-void' || !keys.has(key))
    .toSorted(([, a], [, b]) => a.at.localeCompare(b.at));
  const start: TrialList = new Map(known.map((t) => [t.key, t]));
  const list = waiting.reduce(
    (all, [key, entry]) =>
      placeTrial(all, { key, seat: authorOfKey(key) ?? '', entry, keptAt: entry.at }, moderates),
    start,
  );
  return [...list.values()]
    .toSorted((a, b) => a.keptAt.localeCompare(b.keptAt))
    .map((t) => ({ ...t, recorded: keys.has(t.key) }));
};

/** Which attempt the next trial is, of this operator at this task in this state and condition. */
export const attemptOf = (rows: readonly TrialRow[], setup: TrialSetup): number =>
  1 +
  rows.filter(
    (row) =>
      isStanding(row) &&
      row.entry.task === setup.task &&
      row.entry.operator === setup.operator &&
      row.entry.condition === setup.condition &&
      row.entry.state === setup.state,
  ).length;
