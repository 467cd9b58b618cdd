import type { Rating } from '@unhindered/shared-types';
import type { LoggedEvent, RecordSource } from '../record-source.ts';

/** One rating as it entered the log. */
export interface RatingRow {
  seq: number;
  at: string;
  round: number;
  task: string;
  seat: string;
  rating: Rating;
  changed: boolean;
  source: 'sheet' | 'correction' | 'late' | 'paper';
  /** It is the seat's standing rating of the task at the lock. */
  stands: boolean;
}

const rowsOf = (e: LoggedEvent): Omit<RatingRow, 'stands'>[] => {
  const { seq, at } = e;
  if (e.type === 'sheet-recorded') {
    const { round, seat, ratings } = e.data;
    return ratings.map((r) => ({ seq, at, round, seat, source: 'sheet', ...r }));
  }
  if (e.type === 'ratings-imported') {
    return e.data.rounds.flatMap(({ round, sheets }) =>
      sheets.flatMap(({ seat, ratings }) =>
        ratings.map((r) => ({
          seq,
          at,
          round,
          seat,
          changed: false,
          source: 'paper' as const,
          ...r,
        })),
      ),
    );
  }
  if (e.type === 'rating-corrected') {
    const { round, seat, task, new: rating } = e.data;
    return [{ seq, at, round, seat, task, rating, changed: false, source: 'correction' }];
  }
  if (e.type === 'late-offered') {
    const { round, seat, task, rating } = e.data;
    return [{ seq, at, round, seat, task, rating, changed: false, source: 'late' }];
  }
  return [];
};

/** Rows that took effect, in the order in which they did: a late one at its admission. */
const effects = (source: RecordSource, rows: readonly Omit<RatingRow, 'stands'>[]) =>
  source.events.flatMap((e) => {
    if (e.type === 'late-decided') {
      const offer = source.events.find(
        (o) => o.type === 'late-offered' && o.data.late === e.data.late,
      );
      return e.data.admitted ? rows.filter((r) => r.seq === offer?.seq) : [];
    }
    return rows.filter((r) => r.seq === e.seq && r.source !== 'late');
  });

/** Every rating on record, in the order of the log; the last that took effect for a seat and task stands. */
export const ratingRows = (source: RecordSource): RatingRow[] => {
  const rows = source.events.flatMap(rowsOf);
  const last = new Map(effects(source, rows).map((r) => [`${r.seat} ${r.task}`, r]));
  return rows.map((r) => ({ ...r, stands: last.get(`${r.seat} ${r.task}`) === r }));
};
