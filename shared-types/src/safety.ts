import * as v from 'valibot';
import { incidentId, instant, modelCode, seatId, sha256Hex, slug } from './ids.ts';
import { BOARD_KEY } from './board-key.ts';
import type { Role } from './roles.ts';
import { decisionReason, shortReason, text } from './text.ts';

/** SD-1: who may stop everyone: every seat at work. Who looks on calls out, and somebody at work presses. */
export const STOPS_EVERYONE: readonly Role[] = ['moderator', 'reviewer', 'recorder', 'operator'];

/** SD-3: who acknowledges the briefing before the first trial: every seat that takes part in trials. */
export const TAKES_PART: readonly Role[] = ['moderator', 'reviewer', 'recorder', 'operator'];

/**
 * Whose act it was. `since` is set in an evaluation that was made after it happened: the server's time of then, for the
 * event stands among the opening events of a later moment.
 */
const by = { seat: seatId, since: v.optional(instant) };

/** Everyone stops. More calls while all stand still are kept beside the first. */
const everyoneStopped = v.strictObject({
  type: v.literal('everyone-stopped'),
  data: v.strictObject({ ...by, reason: v.nullable(text(1, 500)) }),
});
/** A moderator lets the day go on, with what was done about the stop. */
const everyoneResumed = v.strictObject({
  type: v.literal('everyone-resumed'),
  data: v.strictObject({ seat: seatId, measures: text(1, 2000) }),
});
/** `text` is SHA-256 of the very words of the protocol's session caution, as UTF-8. */
const briefingAcknowledged = v.strictObject({
  type: v.literal('briefing-acknowledged'),
  data: v.strictObject({ ...by, text: sha256Hex }),
});
/** Who recorded it has seen the model's written consent; the form itself is kept elsewhere. */
const consentRecorded = v.strictObject({
  type: v.literal('consent-recorded'),
  data: v.strictObject({ ...by, model: modelCode }),
});
/** The model leaves, for good and without a reason: none is asked. */
const consentWithdrawn = v.strictObject({
  type: v.literal('consent-withdrawn'),
  data: v.strictObject({ ...by, model: modelCode }),
});

/** What concerns the day of a whole panel: in the panel's log, and in that of each of its evaluations. */
export const safetyEvent = v.variant('type', [
  everyoneStopped,
  everyoneResumed,
  briefingAcknowledged,
  consentRecorded,
  consentWithdrawn,
]);
export type SafetyEvent = v.InferOutput<typeof safetyEvent>;

/** Whether the trials that a model took part in before leaving count in this evaluation; the last word stands. */
export const modelTrialsDecided = v.strictObject({
  type: v.literal('model-trials-decided'),
  data: v.strictObject({ model: modelCode, count: v.boolean(), reason: text(1, 2000) }),
});

/** Whether the doctor or service responsible was told. */
export const MEDICAL_DIRECTION = ['informed', 'not-informed'] as const;

/** What went wrong, when, at what, and what was done: no names and no findings about anybody's health. */
export const incident = v.strictObject({
  what: text(3, 1000),
  happenedAt: instant,
  task: v.nullable(slug),
  trial: v.nullable(v.pipe(v.string(), v.regex(BOARD_KEY))),
  done: text(3, 1000),
  direction: v.picklist(MEDICAL_DIRECTION),
});
export type Incident = v.InferOutput<typeof incident>;

export const incidentNoted = v.strictObject({
  type: v.literal('incident-noted'),
  data: v.strictObject({ incident: incidentId, seat: seatId, note: incident }),
});

/** Commands on a panel's day. */
export const safetyCommand = v.variant('type', [
  v.strictObject({ type: v.literal('stop-everyone'), reason: v.nullable(text(1, 500)) }),
  /** A moderator's, with a word what was done about it. */
  v.strictObject({ type: v.literal('resume-everyone'), measures: shortReason }),
  /** `text`: SHA-256 of what was read; refused when it is not the text of an evaluation of the panel. */
  v.strictObject({ type: v.literal('acknowledge-briefing'), text: sha256Hex }),
  /** Who sends it has seen the written consent, and a guardian's for a model under age. */
  v.strictObject({ type: v.literal('record-consent'), model: modelCode, written: v.literal(true) }),
  v.strictObject({ type: v.literal('withdraw-consent'), model: modelCode }),
]);
export type SafetyCommand = v.InferOutput<typeof safetyCommand>;

/** Commands on the safety of one evaluation. */
export const decideModelTrials = v.strictObject({
  type: v.literal('decide-model-trials'),
  model: modelCode,
  count: v.boolean(),
  reason: decisionReason,
});
export const noteIncident = v.strictObject({ type: v.literal('note-incident'), note: incident });

/** One time that everyone stopped. */
export interface StopSlice {
  at: string;
  seat: string;
  reason: string | null;
  /** Further calls while all stood still. */
  calls: { at: string; seat: string; reason: string }[];
  resumed: { at: string; seat: string; measures: string } | null;
}

/** A stop as a device of the panel is told of it, with the words for who called. */
export interface ToldStop extends StopSlice {
  name: string;
  role: Role;
  letter: string | null;
}

export interface ModelSlice {
  model: string;
  consent: { at: string; seat: string };
  withdrawn: { at: string; seat: string } | null;
  /** What a moderator decided about the earlier trials; null while nobody did: then they count, and are marked. */
  trials: { at: string; seat: string; count: boolean; reason: string } | null;
}

export interface IncidentSlice extends Incident {
  incident: string;
  seat: string;
  at: string;
}

/** The safety of the day as one evaluation has it. */
export interface SafetySlice {
  /** In order; the last one holds while it is not resumed. */
  stops: StopSlice[];
  briefing: {
    /** SHA-256 of the protocol's session caution. */
    text: string;
    acknowledged: { seat: string; at: string }[];
    /** Seats that take part in trials and have not acknowledged this text. */
    owed: string[];
  };
  models: ModelSlice[];
  /** Empty for who may not see the trials yet. */
  incidents: IncidentSlice[];
}
