import type {
  Bundle,
  Envelope,
  EvaluationEvent,
  Protocol,
  ProtocolTask,
  Rating,
  TrialEntry,
} from '../../../shared-types/src/index.ts';

/** An event of the log as its line says it. */
export type Line = EvaluationEvent & Pick<Envelope, 'seq' | 'at' | 'actor'>;
export type DataOf<T extends EvaluationEvent['type']> = Extract<
  EvaluationEvent,
  { type: T }
>['data'];
type Said<T extends EvaluationEvent['type']> = DataOf<T> & { at: string; by: string };

export interface Seat {
  seat: string;
  role: string;
  letter: string | null;
  revoked: boolean;
  ties: DataOf<'interest-declared'>['declaration']['ties'] | null;
  excluded: readonly string[];
}

/** One rating that stands. */
export interface Held {
  rating: Rating;
  round: number;
  changed: boolean;
  late: boolean;
  corrected: boolean;
}

export interface Tried {
  seq: number;
  key: string;
  at: string;
  seat: string;
  entry: TrialEntry;
  replacedBy: string | null;
  voided: string | null;
}

type Late = DataOf<'late-offered'> & { at: string; decision: DataOf<'late-decided'> | null };

/**
 * A day as its bundle's lines tell it, read here a second time: nothing of the program's own fold is used, so that a
 * number of the record is held against the log and not against what the record was made from.
 */
export interface Day {
  bundle: Bundle;
  p: Protocol;
  tasks: ProtocolTask[];
  lines: Line[];
  created: DataOf<'evaluation-created'>;
  locked: Said<'evaluation-locked'>;
  seats: Map<string, Seat>;
  ratings: Map<string, Map<string, Held>>;
  settled: Map<string, Said<'task-settled'>>;
  gates: Map<string, Said<'gate-decided'>>;
  late: Map<string, Late>;
  endorsements: Map<string, DataOf<'endorsement-stated'>>;
  trials: Tried[];
  /** Models whose trials were taken out after they left. */
  gone: Set<string>;
}

const linesOf = (bundle: Bundle): Line[] => bundle.events.map((text) => JSON.parse(text) as Line);

/** All events of one type with their stamps, oldest first. */
export const all = <T extends EvaluationEvent['type']>(
  { lines }: Pick<Day, 'lines'>,
  type: T,
): (Extract<EvaluationEvent, { type: T }> & Pick<Envelope, 'seq' | 'at' | 'actor'>)[] =>
  lines.filter(
    (e): e is Extract<EvaluationEvent, { type: T }> & Pick<Envelope, 'seq' | 'at' | 'actor'> =>
      e.type === type,
  );

const newest = (trials: readonly Tried[], key: string | null): Tried | undefined => {
  let found = trials.find((t) => t.key === key);
  while (found?.replacedBy != null) {
    const next = found.replacedBy;
    found = trials.find((t) => t.key === next);
  }
  return found;
};

const takeTrial = (day: Day, e: Extract<Line, { type: 'entry-posted' }>): void => {
  const { seat, key, entry } = e.data;
  if (entry.kind === 'trial-void') {
    const of = newest(day.trials, entry.trial);
    const may = of?.seat === seat || day.seats.get(seat)?.role === 'moderator';
    if (of && may) of.voided ??= entry.reason;
  }
  if (entry.kind !== 'trial') return;
  const old = newest(day.trials, entry.replaces);
  const own = old?.seat === seat ? old : undefined;
  if (own) own.replacedBy = key;
  const voided = own?.voided ?? null;
  day.trials.push({ seq: e.seq, key, at: e.at, seat, entry, replacedBy: null, voided });
};

const hold = (day: Day, task: string, seat: string, held: Held): void => {
  const of = day.ratings.get(task) ?? new Map<string, Held>();
  day.ratings.set(task, of.set(seat, held));
};

const takeRatings = (day: Day, e: Line): void => {
  const plain = { changed: false, late: false, corrected: false };
  if (e.type === 'sheet-recorded') {
    const { round, seat } = e.data;
    for (const { task, rating, changed } of e.data.ratings) {
      hold(day, task, seat, { ...plain, rating, round, changed });
    }
  }
  if (e.type === 'ratings-imported') {
    for (const { round, sheets } of e.data.rounds) {
      for (const { seat, ratings } of sheets) {
        for (const { task, rating } of ratings) hold(day, task, seat, { ...plain, rating, round });
      }
    }
  }
  if (e.type === 'rating-corrected') {
    const { task, seat, round, new: rating } = e.data;
    const old = day.ratings.get(task)?.get(seat) ?? plain;
    hold(day, task, seat, { ...old, rating, round, corrected: true });
  }
  if (e.type === 'late-offered') day.late.set(e.data.late, { ...e.data, at: e.at, decision: null });
  if (e.type === 'late-decided') {
    const offer = day.late.get(e.data.late);
    if (!offer) return;
    offer.decision = e.data;
    const { task, seat, rating, round } = offer;
    if (e.data.admitted) hold(day, task, seat, { ...plain, rating, round, late: true });
  }
};

const takeSeats = (day: Day, e: Line): void => {
  if (e.type === 'seat-taken') {
    const { seat, role, letter } = e.data;
    day.seats.set(seat, { seat, role, letter, revoked: false, ties: null, excluded: [] });
  }
  if (e.type !== 'seat-revoked' && e.type !== 'interest-declared') return;
  const seat = day.seats.get(e.data.seat);
  if (!seat) return;
  if (e.type === 'seat-revoked') seat.revoked = true;
  else Object.assign(seat, { ties: e.data.declaration.ties, excluded: e.data.excluded });
};

const takeDecisions = (day: Day, e: Line): void => {
  const by = { at: e.at, by: e.actor };
  if (e.type === 'task-settled') day.settled.set(e.data.task, { ...e.data, ...by });
  if (e.type === 'gate-decided') day.gates.set(e.data.task, { ...e.data, ...by });
  if (e.type === 'task-reopened') {
    day.settled.delete(e.data.task);
    day.gates.delete(e.data.task);
  }
  if (e.type === 'endorsement-stated') day.endorsements.set(e.data.seat, e.data);
  if (e.type === 'evaluation-locked') day.locked = { ...e.data, ...by };
};

const goneOf = (day: Day): Set<string> => {
  const left = new Set(all(day, 'consent-withdrawn').map((e) => e.data.model));
  const said = new Map(all(day, 'model-trials-decided').map(({ data }) => [data.model, data]));
  return new Set([...left].filter((m) => said.get(m)?.count === false));
};

/** Reads a day from the bytes of its bundle. */
export const readDay = (bytes: Uint8Array): Day => {
  const bundle = JSON.parse(new TextDecoder().decode(bytes)) as Bundle;
  const p = JSON.parse(bundle.protocol) as Protocol;
  const day: Day = {
    bundle,
    p,
    tasks: p.sections.flatMap((s) => s.tasks),
    lines: linesOf(bundle),
    created: {} as Day['created'],
    locked: {} as Day['locked'],
    seats: new Map(),
    ratings: new Map(),
    settled: new Map(),
    gates: new Map(),
    late: new Map(),
    endorsements: new Map(),
    trials: [],
    gone: new Set(),
  };
  for (const e of day.lines) {
    if (e.type === 'evaluation-created') day.created = e.data;
    takeSeats(day, e);
    takeRatings(day, e);
    takeDecisions(day, e);
    if (e.type === 'entry-posted') takeTrial(day, e);
  }
  day.gone = goneOf(day);
  return day;
};

/** What became of a trial: it counts, was corrected, is void, or was taken out with its model. */
export const fate = (day: Day, t: Tried): 'counts' | 'corrected' | 'void' | 'model-left' => {
  if (t.replacedBy !== null) return 'corrected';
  if (t.voided !== null) return 'void';
  return day.gone.has(t.entry.model ?? '') ? 'model-left' : 'counts';
};

/** Trials that are part of the evidence. */
export const standing = (day: Day): Tried[] => day.trials.filter((t) => fate(day, t) === 'counts');

/** Reviewers in the order in which they sat down. */
export const reviewers = (day: Day): Seat[] =>
  [...day.seats.values()].filter((s) => s.role === 'reviewer');

/** Tasks that a round was opened on, in the protocol's order. */
export const openedTasks = (day: Day): ProtocolTask[] => {
  const opened = new Set(all(day, 'round-opened').map((e) => e.data.round));
  const rounds = all(day, 'round-started').filter((e) => opened.has(e.data.round));
  const paper = all(day, 'ratings-imported').flatMap((e) => e.data.rounds);
  const ids = new Set([...rounds.flatMap((e) => e.data.tasks), ...paper.flatMap((r) => r.tasks)]);
  return day.tasks.filter((t) => ids.has(t.id));
};
