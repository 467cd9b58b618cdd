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
  v.strictObject({ on: v.literal('evaluation'), evaluation: evaluationId }),
]);
export type WatchMessage = v.InferOutput<typeof watchMessage>;

/** Answer to a command. `seq` is the log's size after it; `result` holds what only the caller gets. */
export type CommandAnswer =
  { ok: true; seq: number; result?: CommandResult } | { ok: false; rejection: Rejection };

/** Returned once, to the caller alone, and never stored in the clear. */
export type CommandResult =
  | { kind: 'invitation'; seat: string; secret: string; code: string | null; until: string }
  | { kind: 'panel'; panel: string }
  | { kind: 'evaluation'; evaluation: string };

export type WatchAnswer =
  { ok: true; slices: Record<string, unknown> } | { ok: false; rejection: Rejection };

/**
 * Slices that changed. Keys: for an evaluation `head`, `seats`, `allFinished`, `tasks/<id>`, `queue`,
 * `agreement`, `insight` (moderator), `remarks`, `late`, `lock`, `me`; for a panel or home `view`. A null slice is gone.
 */
export interface SlicesMessage {
  /** evaluation id, panel id, or `home`. */
  of: string;
  slices: Record<string, unknown>;
}

/** The newest signed checkpoint of an evaluation's log, for the device to keep as a witness. */
export interface CheckpointMessage {
  of: string;
  note: string;
}

export interface EndedMessage {
  why: 'revoked' | 'expired' | 'signed-out';
}
