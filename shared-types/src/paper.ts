import * as v from 'valibot';
import { evaluationId, seatId, sha256Hex, slug } from './ids.ts';
import { MAX_PAPER_BYTES } from './limits.ts';
import { personName } from './person-name.ts';
import { rating, type Rating } from './rating.ts';
import { letter } from './seat-events.ts';
import { line } from './text.ts';

const round = v.pipe(v.number(), v.integer(), v.minValue(1));
const count = v.pipe(v.number(), v.integer(), v.minValue(0));
const lineNumber = v.pipe(v.number(), v.integer(), v.minValue(1));

/** What is wrong with a file of ratings, where, and what to do about it. */
export interface PaperFault {
  /** Line in the file, from 1. */
  line: number;
  /** Name of the column; empty when the whole line is meant. */
  column: string;
  fault: string;
  remedy: string;
}

/**
 * Ratings that a panel gave on paper and a moderator brought in as a file. They were never sealed here: the event is the
 * whole of it, rounds included, and no sheet stands beside it.
 */
export const ratingsImported = v.strictObject({
  type: v.literal('ratings-imported'),
  data: v.strictObject({
    /** The file as it was called, its hash and size, and its lines below the head. */
    file: v.string(),
    sha256: sha256Hex,
    bytes: lineNumber,
    rows: lineNumber,
    /** Lines without a rating. */
    empty: count,
    /** Faulty lines that the moderator chose to go without. */
    leftOut: v.array(v.strictObject({ line: lineNumber, column: v.string(), fault: v.string() })),
    /** `paper`: a seat made for a name in the file; `matched`: a seat that was there. */
    seats: v.array(v.strictObject({ seat: seatId, how: v.picklist(['paper', 'matched']) })),
    rounds: v.array(
      v.strictObject({
        round,
        tasks: v.array(slug),
        sheets: v.array(
          v.strictObject({
            seat: seatId,
            ratings: v.array(v.strictObject({ task: slug, rating })),
          }),
        ),
      }),
    ),
  }),
});

/** In the panel's log: a reviewer of a paper panel gets a seat without a device, in one evaluation only. */
export const paperSeatMade = v.strictObject({
  type: v.literal('paper-seat-made'),
  data: v.strictObject({ seat: seatId, letter, nameHash: sha256Hex, evaluation: evaluationId }),
});

/** One rating of a file, read. */
export interface PaperRow {
  /** Line in the file, from 1. */
  line: number;
  task: string;
  /** The person as named in the file. */
  reviewer: string;
  round: number;
  rating: Rating;
}

/** Brings in a file that was checked before: `sha256` says which, `seats` who is who, null a seat from paper. */
export const importRatings = v.strictObject({
  type: v.literal('import-ratings'),
  file: line(1, 200),
  sha256: sha256Hex,
  /** Goes without the faulty lines, which stand in the trail. */
  withoutFaulty: v.boolean(),
  seats: v.pipe(
    v.array(v.strictObject({ reviewer: personName(1, 80), seat: v.nullable(seatId) })),
    v.minLength(1),
    v.maxLength(100),
  ),
});

/** A file in base64, in a JSON body. */
const base64File = v.pipe(
  v.string(),
  v.maxLength(Math.ceil(MAX_PAPER_BYTES / 3) * 4, 'The file is longer than 2 MB.'),
  v.base64('The file is not in base64.'),
);

/** POST /api/evaluations/:id/paper/check */
export const paperCheckBody = v.strictObject({ csv: base64File });

/** What a file would bring in, before anything is. */
export interface PaperCheck {
  sha256: string;
  bytes: number;
  /** Lines below the head, and those of them that have no rating. */
  rows: number;
  empty: number;
  /** Every fault; what is in no faulty line can be brought in without them when `whole` is false. */
  faults: PaperFault[];
  /** The faults are of the file as a whole: nothing can be brought in. */
  whole: boolean;
  /** Columns that were there and are not needed: the protocol has its own sections and weights. */
  ignored: string[];
  /** People in the file, as named in it, with the seat of the same name. */
  reviewers: { reviewer: string; ratings: number; seat: string | null }[];
  rounds: number;
  /** Tasks of the protocol with a rating, of all. */
  tasks: number;
  of: number;
  /** Reviewers' seats that a name can be matched to. */
  seats: { seat: string; letter: string | null; name: string }[];
  /** The first round may open: a passed fit check, or an override. */
  fit: boolean;
}
