/** One row of a list of ratings collected anywhere. */
export interface ListedRating {
  task: string;
  reviewer: string;
  /** A point of the scale or a half point; undefined is an absent cell. */
  rating: number | undefined;
  section: string | undefined;
  /** Weight of the task within its section, 0 or more. */
  weight: number | undefined;
  /** From 1; the last round with a rating counts. */
  round: number;
  /** Repeated ratings of one reviewer; empty when there is no such column. */
  trial: string;
  /** Line in the file, from 1. */
  line: number;
}

/** What is wrong with a file, where, and what to do about it. */
export interface ListFault {
  /** Line in the file, from 1. */
  line: number;
  /** Name of the column, or empty when the whole line is meant. */
  column: string;
  fault: string;
  remedy: string;
}

export type RatingList = { ok: true; ratings: ListedRating[] } | { ok: false; faults: ListFault[] };
