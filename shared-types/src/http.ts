import * as v from 'valibot';
import { documentId, evaluationId } from './ids.ts';
import type { Role } from './roles.ts';
import { personName } from './person-name.ts';
import type { EvaluationView } from './view.ts';

/** Bodies of the HTTP interface; every other change goes over the socket. Errors are `{error: Rejection}`. */

/** Shortest passphrase of a lead, in code points. */
export const PASSPHRASE_MIN = 12;
/** As typed: blanks at its ends belong to it. */
const passphrase = v.pipe(
  v.string(),
  v.maxLength(400),
  v.check(
    (s) => [...s.normalize('NFC')].length >= PASSPHRASE_MIN,
    `Take at least ${String(PASSPHRASE_MIN)} characters: four or five words that do not belong together.`,
  ),
);

/**
 * POST /api/sign-in: the lead's one-time secret from the link printed at first start, or the organisation's name (empty
 * for the one a server begins with) and the passphrase that its lead has set.
 */
export const signInBody = v.union([
  v.strictObject({ secret: v.pipe(v.string(), v.maxLength(64)) }),
  v.strictObject({
    organisation: v.pipe(v.string(), v.maxLength(120)),
    passphrase: v.pipe(v.string(), v.maxLength(400)),
  }),
]);
export type SignInBody = v.InferOutput<typeof signInBody>;

/** POST /api/passphrase: the lead sets or replaces the passphrase of the organisation. */
export const passphraseBody = v.strictObject({ passphrase });
export type PassphraseBody = v.InferOutput<typeof passphraseBody>;

/** Either the secret of a link (its fragment) or a typed code, as typed. */
const key = v.union([
  v.strictObject({ secret: v.pipe(v.string(), v.maxLength(64)) }),
  v.strictObject({ code: v.pipe(v.string(), v.maxLength(32)) }),
]);

/** POST /api/invitations/look: what an invitation leads to, without using it up. */
export const lookBody = v.strictObject({ key });
export type LookBody = v.InferOutput<typeof lookBody>;
export interface LookAnswer {
  panelTitle: string;
  occasion: string;
  role: Role;
  letter: string | null;
  label: string;
  /** Set when the seat is already taken: the person adds a device. */
  name: string | null;
  /** A moderator has to let the person in after the code was used. */
  waits: boolean;
  /** Server time since when everyone of the panel has stopped; null while the day goes on. */
  stoppedAt: string | null;
}

/** POST /api/invitations/use: takes the seat on this device; sets the session cookie. */
export const joinBody = v.strictObject({ key, name: personName(0, 80) });
export type JoinBody = v.InferOutput<typeof joinBody>;
export interface JoinAnswer {
  panel: string;
  seat: string;
  /** The session sees nothing until a moderator admits it. */
  waits: boolean;
}

/** Whether a session is let in. `refused` is all that a device learns that was turned away. */
export type ArrivalState = 'admitted' | 'waiting' | 'refused';

/** GET /api/me */
export interface MeAnswer {
  signedIn: boolean;
  lead: boolean;
  /** The lead has set a passphrase; false for everybody else. */
  passphrase: boolean;
  /** Seats of this session, newest panel first. */
  seats: { seat: string; panel: string; panelTitle: string; role: Role; letter: string | null }[];
  /** Set while a moderator has not let this session in, or has turned it away. */
  arrival: {
    state: Exclude<ArrivalState, 'admitted'>;
    panel: string;
    panelTitle: string;
    role: Role;
    letter: string | null;
    /** Server time since when everyone of the panel has stopped; null while the day goes on. */
    stoppedAt: string | null;
  } | null;
  software: string;
  /** The workspace is a demonstration: everything in it is invented. */
  invented: boolean;
  /** False when traffic is not encrypted and leaves this machine. */
  encrypted: boolean;
}

/**
 * GET /api/evaluations/:id/first-look: all that somebody who rates sealed needs to begin, in one answer, asked for beside
 * the scripts. It holds nobody else's ratings, and only what the sockets tell the same person a moment later.
 */
export interface FirstLookAnswer {
  me: MeAnswer;
  /** Null for everybody who does not rate sealed right now: they wait for the panel's socket. */
  look: {
    view: Partial<EvaluationView>;
    document: string;
    /** The own sheet as it is on disk: a Yjs update, base64. */
    sheet: string;
  } | null;
}

/** POST /api/tickets: a single-use ticket for one document socket, good for a minute. */
export const ticketBody = v.strictObject({
  evaluation: evaluationId,
  document: documentId,
});
export type TicketBody = v.InferOutput<typeof ticketBody>;
export interface TicketAnswer {
  ticket: string;
}
