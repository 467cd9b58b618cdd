import type {
  Declaration,
  EvaluationEvent,
  IncidentSlice,
  MediaMoment,
  Observation,
  ModelSlice,
  Rating,
  Role,
  Stage,
  TrialList,
} from '@unhindered/shared-types';
import { noSafety, type SafetyState } from './safety-state.ts';
import type { SpecimenPhotos } from './specimen-photos.ts';

type Data<T extends EvaluationEvent['type']> = Extract<EvaluationEvent, { type: T }>['data'];

export interface SeatState {
  seat: string;
  role: Role;
  letter: string | null;
  nameHash: string;
  revoked: boolean;
  declaration: Declaration | null;
  /** Tasks in which this seat's ratings do not count. */
  excluded: readonly string[];
}

export interface RoundState {
  number: number;
  tasks: readonly string[];
  /** Document id of each reviewer's sheet. */
  sheets: ReadonlyMap<string, string>;
  finished: ReadonlySet<string>;
  /** How each reviewer said they see the work. */
  observed: ReadonlyMap<string, Observation>;
  /** Seats whose sheet is in the log, with its digest. Empty before the opening. */
  recorded: ReadonlyMap<string, string>;
  /** Null of a round from paper, which was never sealed. */
  startedAt: string | null;
  openedAt: string | null;
}

/** Ratings from paper: what the event says of the file, without the ratings, which stand with all others. */
export interface PaperState extends Omit<Data<'ratings-imported'>, 'rounds'> {
  at: string;
  by: string;
}

/** The rating of one seat for one task that stands now. Only opened ratings are ever here. */
export interface CurrentRating {
  rating: Rating;
  round: number;
  changed: boolean;
  late: boolean;
  corrected: { old: Rating | null; reason: string } | null;
}

export interface SettledTask {
  how: 'adopt' | 'decide' | 'leave-open';
  value: string | null;
  reason: string | null;
  by: string;
  at: string;
}

export interface GateDecision {
  confirmed: boolean;
  backedByTrials: boolean;
  reason: string;
  by: string;
  at: string;
}

export interface LateOffer extends Data<'late-offered'> {
  offeredAt: string;
  decision: { admitted: boolean; reason: string } | null;
}

export interface Remark {
  key: string;
  seat: string;
  task: string | null;
  text: string;
  at: string;
  replaces: string | null;
}

export interface FitCheckState extends Data<'fit-checked'> {
  at: string;
  by: string;
}

export interface MediaState extends Data<'media-attached'> {
  attachedAt: string;
  moments: readonly MediaMoment[];
  watchedBy: readonly string[];
  removed: { by: string; reason: string; at: string } | null;
}

export interface Endorsement {
  content: boolean;
  reason: string;
  at: string;
}

/**
 * One evaluation as its log tells it: a fold over events, never written to otherwise. Sheets that are still
 * sealed are not here at all: their ratings enter the log, and so this state, only at the opening.
 */
export interface EvaluationState {
  stage: Stage;
  created: Data<'evaluation-created'> | null;
  seats: ReadonlyMap<string, SeatState>;
  rounds: readonly RoundState[];
  /** Set when the ratings came from paper: then no round of it was ever sealed here. */
  paper: PaperState | null;
  /** task → seat → rating. */
  ratings: ReadonlyMap<string, ReadonlyMap<string, CurrentRating>>;
  late: ReadonlyMap<string, LateOffer>;
  settled: ReadonlyMap<string, SettledTask>;
  gates: ReadonlyMap<string, GateDecision>;
  remarks: readonly Remark[];
  /** Every trial entered, by key. */
  trials: TrialList;
  /** Photos and clips by id, removed ones too. */
  media: ReadonlyMap<string, MediaState>;
  present: string | null;
  locked: (Data<'evaluation-locked'> & { at: string }) | null;
  withdrawnBecause: string | null;
  withdrawnAt: string | null;
  supersededBy: { evaluation: string; reason: string; at: string } | null;
  /** Fit checks by id, in the order they were entered. */
  fitChecks: ReadonlyMap<string, FitCheckState>;
  /** Overrides, in order; `after` is how many checks stood then: a later check ends it. */
  fitOverrides: readonly { reason: string; by: string; at: string; after: number }[];
  /** Corrections of the specimen in the register since the evaluation was made. */
  specimenCorrections: readonly (Data<'specimen-corrected'> & { at: string })[];
  /** Photos of the specimen and of the parts of a kit, as the register had them then and has them since. */
  specimenPhotos: SpecimenPhotos;
  /** Stops, briefing and models of the panel's day. */
  safety: SafetyState;
  /** model → whether the trials of before they left count. */
  modelTrials: ReadonlyMap<string, NonNullable<ModelSlice['trials']>>;
  /** In the order they were noted. */
  incidents: readonly IncidentSlice[];
  /** seat → its statement. */
  endorsements: ReadonlyMap<string, Endorsement>;
}

export const emptyEvaluation: EvaluationState = {
  stage: 'preparing',
  created: null,
  seats: new Map(),
  rounds: [],
  paper: null,
  ratings: new Map(),
  late: new Map(),
  settled: new Map(),
  gates: new Map(),
  remarks: [],
  trials: new Map(),
  media: new Map(),
  present: null,
  locked: null,
  withdrawnBecause: null,
  withdrawnAt: null,
  supersededBy: null,
  fitChecks: new Map(),
  fitOverrides: [],
  specimenCorrections: [],
  specimenPhotos: new Map(),
  safety: noSafety,
  modelTrials: new Map(),
  incidents: [],
  endorsements: new Map(),
};

/** The round that runs or ran last. */
export const currentRound = (state: EvaluationState): RoundState | undefined => state.rounds.at(-1);

/** Seats that may act, of one role, in the order they were taken. */
export const activeSeats = (state: EvaluationState, role: Role): SeatState[] =>
  [...state.seats.values()].filter((s) => s.role === role && !s.revoked);

/** Tasks of every opened round, each once, in the order of the rounds. */
export const openedTasks = (state: EvaluationState): Set<string> =>
  new Set(state.rounds.filter((r) => r.openedAt !== null).flatMap((r) => r.tasks));

/** Tasks whose ratings are hidden at the moment. */
export const sealedTasks = (state: EvaluationState): Set<string> =>
  new Set(state.stage === 'sealed' ? currentRound(state)?.tasks : []);

/**
 * Took a reviewer's seat after the round was opened and has not handed in the sheet: rates sealed first,
 * and sees nothing of the round until then.
 */
export const isCatchingUp = (state: EvaluationState, seat: string): boolean => {
  const round = currentRound(state);
  return (
    state.stage === 'opened' &&
    round !== undefined &&
    round.sheets.has(seat) &&
    !round.recorded.has(seat) &&
    state.seats.get(seat)?.revoked === false
  );
};

/**
 * Has no sheet in the record yet and has one to fill in: catching up with an opened round, or rating in a later round
 * that is sealed without having rated in the opened one.
 */
export const ratesBlind = (state: EvaluationState, seat: string): boolean =>
  isCatchingUp(state, seat) ||
  (state.stage === 'sealed' &&
    currentRound(state)?.sheets.has(seat) === true &&
    state.rounds.some((r) => r.openedAt !== null) &&
    state.rounds.every((r) => !r.recorded.has(seat)) &&
    state.seats.get(seat)?.revoked === false);
