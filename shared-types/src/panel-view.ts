import type { Declaration } from './interest.ts';
import type { Role } from './roles.ts';
import type { ToldStop } from './safety.ts';
import type { Specimen } from './specimen.ts';
import type { Stage } from './stage.ts';

// What a panel's members and the lead see of panels; shaped on the server by role like every view.

export interface PanelSeat {
  seat: string;
  role: Role;
  letter: string | null;
  label: string;
  name: string | null;
  online: boolean;
  state: 'offered' | 'waiting' | 'taken' | 'revoked';
  /** Its name was forgotten on request. */
  erased: boolean;
  /** The evaluation whose paper ratings it holds; nobody sits there. Null for every other seat. */
  paper: string | null;
  declaration: Declaration | null;
}

/** Somebody who typed a code and waits to be let in. */
export interface ArrivalSlice {
  seat: string;
  device: string;
  /** A free seat, a further device of a taken one, or one in the place of the others. */
  asks: 'seat' | 'device' | 'move';
  name: string;
  role: Role;
  letter: string | null;
  label: string;
  at: string;
}

/** Wrong codes were tried, and typed codes are or were closed because of it. */
export interface GuessingSlice {
  at: string;
  /** Sources (network addresses) that were closed in the last hour. */
  sources: number;
  /** Until when nobody's typed codes are taken, and until when the last closed source waits. */
  everybodyUntil: string | null;
  sourceUntil: string | null;
}

/** Something odd that happened to the server, for whoever moderates. */
export type NoticeSlice = { at: string } & (
  | { what: 'ended-uncleanly' }
  | { what: 'restored' }
  | { what: 'clock'; ms: number; running: boolean }
);

export interface PanelView {
  panel: string;
  title: string;
  occasion: string;
  seats: PanelSeat[];
  /** Who waits to be let in; empty for others than moderators. */
  arrivals: ArrivalSlice[];
  /** Null for others than moderators. */
  guessing: GuessingSlice | null;
  /** Of the last day, newest first; empty for others than moderators. */
  notices: NoticeSlice[];
  /** The last time that everyone stopped, whether or not it was resumed; null when there was none. */
  stop: ToldStop | null;
  evaluations: { evaluation: string; title: string; stage: Stage; specimen: Specimen }[];
  /** Protocol versions that a new evaluation may use. */
  protocols: { id: string; version: string; title: string; invented: boolean }[];
  me: { seat: string; role: Role; letter: string | null; name: string; declared: boolean };
}

export interface HomeView {
  panels: {
    panel: string;
    title: string;
    occasion: string;
    createdAt: string;
    evaluations: number;
  }[];
}
