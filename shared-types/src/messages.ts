import * as v from 'valibot';
import { evaluationId, panelId } from './ids.ts';
import type { Rejection } from './rejection.ts';

/**
 * The socket.io messages. Client to server: `command` (see commands.ts) and `watch`, both acknowledged.
 * Server to client: `slices` for what changed, `checkpoint` for the newest signed note, `ended` when the
 * session is over.
 */
export const watchMessage = v.variant('on', [
  v.strictObject({ on: v.literal('home') }),
  v.strictObject({ on: v.literal('panel'), panel: panelId }),
  v.strictObject({
    on: v.literal('evaluation'),
    evaluation: evaluationId,
    /** Events under the newest checkpoint this device has checked; 0 or absent for none. */
    seen: v.optional(v.pipe(v.number(), v.safeInteger(), v.minValue(0))),
  }),
]);
export type WatchMessage = v.InferOutput<typeof watchMessage>;

/** Answer to a command. `seq` is the log's size after it; `result` holds what only the caller gets. */
export type CommandAnswer =
  { ok: true; seq: number; result?: CommandResult } | { ok: false; rejection: Rejection };

/** Returned once, to the caller alone, and never stored in the clear. */
export type CommandResult =
  | { kind: 'invitation'; seat: string; secret: string; code: string | null; until: string }
  | { kind: 'link'; link: string; secret: string }
  | { kind: 'panel'; panel: string }
  | { kind: 'evaluation'; evaluation: string }
  | { kind: 'specimen'; specimen: string }
  | { kind: 'draft'; draft: string; revision: number }
  | { kind: 'protocol'; id: string; version: string; hash: string };

export type WatchAnswer =
  | { ok: true; slices: Record<string, unknown>; witness: Witness | null }
  | { ok: false; rejection: Rejection };

/**
 * Slices that changed. Keys: for an evaluation `head`, `seats`, `allFinished`, `tasks/<id>`, `trials/<id>`,
 * `evidence/<id>`, `queue`, `agreement`, `insight` (moderator), `remarks`, `late`, `lock`,
 * `safety`, `me`; for a panel or home `view`. A null slice is gone.
 */
export interface SlicesMessage {
  /** evaluation id, panel id, or `home`. */
  of: string;
  slices: Record<string, unknown>;
}

/** The newest signed checkpoint of a log, and how a device can check that the log goes on from what it saw. */
export interface Witness {
  /** Verifier key of the server's that signed the note. */
  key: string;
  /** Where it took over from others: each one's signed word for the next, oldest first. */
  successions?: string[];
  note: string;
  /** RFC 6962 consistency proof from the size the device named, in hexadecimal; null when that is beyond the log. */
  proof: string[] | null;
}

/** A newer checkpoint of a watched evaluation, with the proof from the one told before. */
export interface CheckpointMessage extends Witness {
  of: string;
}

/** Why a device does not believe a server's log: it knows less than before, something else, or another key signs. */
export const WITNESS_FAULTS = ['rewind', 'fork', 'signature'] as const;
export type WitnessFault = (typeof WITNESS_FAULTS)[number];

/** `witness`, client to server: a device does not believe the log; both notes as evidence. */
export const witnessMessage = v.strictObject({
  evaluation: evaluationId,
  fault: v.picklist(WITNESS_FAULTS),
  kept: v.pipe(v.string(), v.maxLength(2000)),
  got: v.pipe(v.string(), v.maxLength(2000)),
});
export type WitnessMessage = v.InferOutput<typeof witnessMessage>;
export type WitnessAnswer = { ok: true } | { ok: false; rejection: Rejection };

export interface EndedMessage {
  why: 'revoked' | 'expired' | 'signed-out' | 'moved';
}
