import * as v from 'valibot';
import { documentId, evaluationId } from './ids.ts';
import type { Role } from './roles.ts';
import { personName } from './person-name.ts';

/** Bodies of the HTTP interface; every other change goes over the socket. Errors are `{error: Rejection}`. */

/** POST /api/sign-in: the lead's one-time secret from the link printed at first start. */
export const signInBody = v.strictObject({ secret: v.pipe(v.string(), v.maxLength(64)) });
export type SignInBody = v.InferOutput<typeof signInBody>;

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
  /** Seats of this session, newest panel first. */
  seats: { seat: string; panel: string; panelTitle: string; role: Role; letter: string | null }[];
  /** Set while a moderator has not let this session in, or has turned it away. */
  arrival: {
    state: Exclude<ArrivalState, 'admitted'>;
    panel: string;
    panelTitle: string;
    role: Role;
    letter: string | null;
  } | null;
  software: string;
  /** The workspace is a demonstration: everything in it is invented. */
  invented: boolean;
  /** False when traffic is not encrypted and leaves this machine. */
  encrypted: boolean;
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
