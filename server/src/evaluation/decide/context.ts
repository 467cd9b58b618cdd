import type {
  EvaluationCommand,
  EvaluationCommandType,
  EvaluationEvent,
  MediaType,
  Outcome,
  PaperFault,
  PaperRow,
  Protocol,
  Rating,
} from '@unhindered/shared-types';
import type { EvaluationState } from '../state.ts';

/** A sheet as the server read it when the round was frozen. */
export interface OpenedSheet {
  seat: string;
  ratings: { task: string; rating: Rating; changed: boolean }[];
  remarks: { task: string | null; text: string; at: string }[];
  nonce: string;
  digest: string;
}

/** What must be known of an evaluation that is to take another one's place. */
export interface Successor {
  evaluation: string;
  lockedAt: string | null;
  withdrawn: boolean;
  superseded: boolean;
}

/** A file that was read, and the seats that its people get. */
export interface PaperFile {
  sha256: string;
  bytes: number;
  rows: readonly PaperRow[];
  faults: readonly PaperFault[];
  whole: boolean;
  lines: number;
  empty: number;
  /** Who is who in it; `made` where a seat is made for a name. */
  seats: readonly {
    reviewer: string;
    seat: string;
    made: { letter: string; nameHash: string } | null;
  }[];
}

/** Everything a decision needs that is not in the state. */
export interface DecideContext {
  protocol: Protocol;
  /** The seat that asks. */
  actor: string;
  /** Name and version of this program, for the record. */
  software: string;
  /** Fresh random ids, made outside. */
  newId: (prefix: 'dc' | 'lt' | 'ft' | 'ic') => string;
  /** For `open-round` the frozen sheets of the round; for a late joiner's `finish-sheet` their own. */
  sheets: readonly OpenedSheet[];
  /** For `supersede` the evaluation that is to take this one's place; undefined when there is none. */
  successor?: Successor | undefined;
  /** For `attach-media` what this seat uploaded under that id, as it is kept; undefined when there is nothing. */
  upload?: KeptMedia | undefined;
  /** For `import-ratings` the file that came with it; undefined when none did. */
  paper?: PaperFile | undefined;
}

/** A file as it is kept, for the event that attaches it. */
export interface KeptMedia {
  media: string;
  type: MediaType;
  size: number;
  sha256: string;
}

export type Handler<T extends EvaluationCommandType> = (
  state: EvaluationState,
  command: Extract<EvaluationCommand, { type: T }>,
  context: DecideContext,
) => Outcome<EvaluationEvent[]>;

export type Handlers = { [T in EvaluationCommandType]: Handler<T> };
