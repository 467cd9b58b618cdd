import type { EvaluationEvent, Rating } from '@unhindered/shared-types';
import { mayOpen, type FitReplay } from './fit.ts';

/** What ratings from paper touch of a replay. */
export interface PaperReplay extends FitReplay {
  /** Seats made for people who rated on paper; null while there are no such ratings. */
  paper: Set<string> | null;
  stage: string;
  seats: Map<string, { role: string; revoked: boolean }>;
  rounds: { tasks: string[]; sheets: Set<string>; recorded: Set<string>; opened: boolean }[];
  ratings: Map<string, Map<string, Rating>>;
}

type Imported = Extract<EvaluationEvent, { type: 'ratings-imported' }>['data'];

const seatFault = (r: PaperReplay, { seats, rounds }: Imported): string | undefined => {
  const named = new Set(seats.map((s) => s.seat));
  if (named.size !== seats.length) return 'a seat stands twice';
  for (const seat of named) {
    const known = r.seats.get(seat);
    if (known?.role !== 'reviewer' || known.revoked) return `the seat ${seat} is no reviewer’s`;
  }
  const rated = new Set(rounds.flatMap((x) => x.sheets.map((s) => s.seat)));
  if ([...rated].some((seat) => !named.has(seat))) return 'a seat rated that is not named';
  return rated.size === named.size ? undefined : 'a seat is named that rated nothing';
};

const roundFault = ({ rounds }: Imported): string | undefined => {
  if (rounds.length === 0) return 'there is no round';
  for (const [i, { round, tasks, sheets }] of rounds.entries()) {
    if (round !== i + 1) return 'the rounds are not counted in order';
    if (new Set(sheets.map((s) => s.seat)).size !== sheets.length) return 'a seat rated twice';
    for (const { ratings } of sheets) {
      const given = new Set(ratings.map((x) => x.task));
      if (given.size !== ratings.length) return 'a task is rated twice by one seat';
      if ([...given].some((task) => !tasks.includes(task))) return 'a task is not of its round';
    }
  }
  return undefined;
};

/** PA-6: ratings from paper stand alone, once, before any sealed round, and where a first round may open. */
export const takePaper = (r: PaperReplay, data: Imported): string | undefined => {
  const wrong = seatFault(r, data) ?? roundFault(data);
  if (wrong !== undefined) return wrong;
  if (!mayOpen(r))
    return 'ratings from paper came without a passed fit check, and without a reason';
  r.paper = new Set(data.seats.flatMap((s) => (s.how === 'paper' ? [s.seat] : [])));
  for (const { tasks, sheets } of data.rounds) {
    const seats = new Set(sheets.map((s) => s.seat));
    r.rounds.push({ tasks, sheets: new Set(seats), recorded: seats, opened: true });
    for (const { seat, ratings } of sheets) {
      for (const { task, rating } of ratings) {
        const row = r.ratings.get(task) ?? new Map<string, Rating>();
        r.ratings.set(task, row.set(seat, rating));
      }
    }
  }
  r.stage = 'opened';
  return undefined;
};

const SEALED = new Set([
  'round-started',
  'sheet-added',
  'sheet-finished',
  'sheet-recorded',
  'late-offered',
]);

/** Why an event cannot stand beside ratings from paper; undefined when it can. */
export const besidePaper = (r: PaperReplay, type: string, actor: string): string | undefined => {
  if (r.paper === null) return undefined;
  if (r.paper.has(actor))
    return `nobody acts from the seat ${actor}, whose ratings came from paper`;
  return SEALED.has(type) ? `"${type}" cannot stand beside ratings from paper` : undefined;
};
