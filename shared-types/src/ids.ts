import * as v from 'valibot';

/** `prefix_` and 128 random bits in base64url without padding, made by the server (or the client for command ids). */
const random = (prefix: string) =>
  v.pipe(v.string(), v.regex(new RegExp(`^${prefix}_[A-Za-z0-9_-]{22}$`, 'u')));

export const workspaceId = random('ws');
/** The log of what happens to the server itself, one in each workspace. */
export const systemLogId = random('sy');
export const panelId = random('pn');
export const evaluationId = random('ev');
/** A seat is a person's pseudonym in one panel: events carry it, never a name. */
export const seatId = random('st');
export const documentId = random('dc');
export const deviceId = random('dv');
export const invitationId = random('in');
export const lateId = random('lt');
export const linkId = random('lk');
/** A specimen in the register of the workspace. */
export const specimenId = random('sp');
/** The log of the register, one in each workspace. */
export const registerLogId = random('rg');
/** The log of the workspace's own protocols, one in each workspace. */
export const workshopLogId = random('pt');
/** A draft of a protocol version. */
export const draftId = random('pd');
/** One fit check of an evaluation. */
export const fitId = random('ft');
/** A photo or clip, from the first byte of its upload on. */
export const mediaId = random('md');
/** A note of something that went wrong on the day. */
export const incidentId = random('ic');
/** Made by the client, unique per command: a resend gets the stored answer. */
export const commandId = random('cm');

/** Ids that people choose in a protocol file: tasks, sections, measures, tools, states. */
export const slug = v.pipe(v.string(), v.regex(/^[a-z0-9][a-z0-9-]{0,63}$/u));

export type WorkspaceId = string;
export type PanelId = string;
export type EvaluationId = string;
export type SeatId = string;
export type DocumentId = string;
export type DeviceId = string;
export type TaskId = string;
export type LateId = string;

/** UTC, milliseconds, as `Date.prototype.toISOString` writes it. */
export const instant = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/u),
);

/** SHA-256 in lower-case hexadecimal. */
export const sha256Hex = v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/u));

/** A figure as the log holds it: a decimal string of at most 12 significant digits, never a float. */
export const decimal = v.pipe(v.string(), v.regex(/^-?(0|[1-9]\d*)(\.\d*[1-9])?$/u));

/** A code and never a name: signs that a name is not written with, one digit at least. */
export const MODEL_CODE = /^(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}$/u;

/** The code of a model: the living person who wears the piece. */
export const modelCode = v.pipe(
  v.string(),
  v.regex(MODEL_CODE, 'Use a code with a digit, such as M3, and no name.'),
);
