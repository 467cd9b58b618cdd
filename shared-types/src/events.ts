import * as v from 'valibot';
import { declaration } from './interest.ts';
import { BOARD_KEY } from './board-key.ts';
import { boardEntry } from './board.ts';
import { halfPoint } from './commands.ts';
import { result } from './figures.ts';
import { fitChecked, fitOverridden } from './fit.ts';
import {
  deviceId,
  documentId,
  evaluationId,
  instant,
  lateId,
  linkId,
  panelId,
  seatId,
  sha256Hex,
  slug,
} from './ids.ts';
import { mediaEvents } from './media-events.ts';
import { paperSeatMade, ratingsImported } from './paper.ts';
import { divergenceRule } from './protocol.ts';
import { rating } from './rating.ts';
import { specimenCorrected } from './register.ts';
import { role } from './roles.ts';
import { registered, specimen } from './specimen.ts';
import { specimenPhotoEvents } from './specimen-photo.ts';
import { incidentNoted, modelTrialsDecided, safetyEvent } from './safety.ts';
import { text } from './text.ts';
import { letter, seatRevoked, seatTaken } from './seat-events.ts';
import { clockJumped, serverStarted, storeRestored } from './system-events.ts';

const round = v.pipe(v.number(), v.integer(), v.minValue(1));
const tasks = v.array(slug);
/** A decision without a reason is none. */
const reason = text(1, 2000);

/** Events of one evaluation's log, in the order they may first appear. */
export const evaluationEvent = v.variant('type', [
  v.strictObject({
    type: v.literal('evaluation-created'),
    data: v.strictObject({
      evaluation: evaluationId,
      panel: panelId,
      title: v.string(),
      specimen,
      protocol: v.strictObject({ id: slug, version: v.string(), hash: sha256Hex }),
      divergence: v.strictObject({
        id: divergenceRule.entries.id,
        lone: v.string(),
        split: v.nullable(v.string()),
      }),
      board: documentId,
      /** The locked evaluation that this one does again. */
      reevaluates: v.optional(evaluationId),
      registered: v.optional(registered),
      fitCheck: v.optional(v.literal('required')),
      /** `plain` when the panel's network traffic was not encrypted by this server. */
      transport: v.picklist(['tls', 'plain', 'loopback']),
    }),
  }),
  specimenCorrected,
  ...specimenPhotoEvents,
  fitChecked,
  fitOverridden,
  seatTaken,
  seatRevoked,
  v.strictObject({
    type: v.literal('interest-declared'),
    data: v.strictObject({
      seat: seatId,
      declaration,
      /** Tasks this seat's ratings do not count in. */
      excluded: tasks,
    }),
  }),
  v.strictObject({
    type: v.literal('round-started'),
    data: v.strictObject({
      round,
      tasks,
      reason: v.nullable(reason),
      sheets: v.array(v.strictObject({ seat: seatId, document: documentId })),
    }),
  }),
  /** A reviewer who takes a seat while a round runs gets a sheet of their own. */
  v.strictObject({
    type: v.literal('sheet-added'),
    data: v.strictObject({ round, seat: seatId, document: documentId }),
  }),
  v.strictObject({
    type: v.literal('sheet-finished'),
    data: v.strictObject({ round, seat: seatId }),
  }),
  v.strictObject({
    type: v.literal('sheet-resumed'),
    data: v.strictObject({ round, seat: seatId }),
  }),
  /** Ratings enter the log here and not before: one event per sheet, then `round-opened`. */
  v.strictObject({
    type: v.literal('sheet-recorded'),
    data: v.strictObject({
      round,
      seat: seatId,
      ratings: v.array(v.strictObject({ task: slug, rating, changed: v.boolean() })),
      remarks: v.array(v.strictObject({ task: v.nullable(slug), text: v.string(), at: instant })),
      /** SHA-256 of the canonical JSON of {evaluation, nonce, ratings, round, seat}. */
      digest: sha256Hex,
      nonce: sha256Hex,
    }),
  }),
  v.strictObject({
    type: v.literal('round-opened'),
    data: v.strictObject({
      round,
      missing: v.array(v.strictObject({ seat: seatId, unrated: v.pipe(v.number(), v.integer()) })),
    }),
  }),
  ratingsImported,
  v.strictObject({
    type: v.literal('rating-corrected'),
    data: v.strictObject({
      round,
      seat: seatId,
      task: slug,
      old: v.nullable(rating),
      new: rating,
      reason,
    }),
  }),
  v.strictObject({
    type: v.literal('late-offered'),
    data: v.strictObject({
      late: lateId,
      round,
      seat: seatId,
      task: slug,
      rating,
      /** What the log holds for this seat and task when the offer arrives. */
      recorded: v.nullable(rating),
    }),
  }),
  v.strictObject({
    type: v.literal('late-decided'),
    data: v.strictObject({ late: lateId, admitted: v.boolean(), reason }),
  }),
  v.strictObject({
    type: v.literal('task-settled'),
    data: v.strictObject({
      task: slug,
      how: v.picklist(['adopt', 'decide', 'leave-open']),
      value: v.nullable(halfPoint),
      old: v.nullable(halfPoint),
      reason: v.nullable(reason),
    }),
  }),
  v.strictObject({
    type: v.literal('task-reopened'),
    data: v.strictObject({ task: slug, old: v.nullable(halfPoint), reason }),
  }),
  v.strictObject({
    type: v.literal('gate-decided'),
    data: v.strictObject({
      task: slug,
      confirmed: v.boolean(),
      backedByTrials: v.boolean(),
      reason,
    }),
  }),
  v.strictObject({
    type: v.literal('entry-posted'),
    data: v.strictObject({
      seat: seatId,
      key: v.pipe(v.string(), v.regex(BOARD_KEY)),
      entry: boardEntry,
    }),
  }),
  v.strictObject({
    type: v.literal('task-presented'),
    data: v.strictObject({ task: v.nullable(slug) }),
  }),
  v.strictObject({
    type: v.literal('evaluation-locked'),
    data: v.strictObject({
      meaning: v.string(),
      signedBy: seatId,
      /** The program that computed the result. */
      software: v.string(),
      result,
    }),
  }),
  /** One reviewer's own statement; the last one of a seat stands. Never part of a figure. */
  v.strictObject({
    type: v.literal('endorsement-stated'),
    data: v.strictObject({ seat: seatId, content: v.boolean(), reason }),
  }),
  v.strictObject({ type: v.literal('evaluation-withdrawn'), data: v.strictObject({ reason }) }),
  /** After the lock: another locked evaluation takes this one's place. */
  v.strictObject({
    type: v.literal('evaluation-superseded'),
    data: v.strictObject({ by: evaluationId, reason }),
  }),
  ...mediaEvents,
  serverStarted,
  clockJumped,
  storeRestored,
  safetyEvent,
  modelTrialsDecided,
  incidentNoted,
]);
export type EvaluationEvent = v.InferOutput<typeof evaluationEvent>;
export type EvaluationEventType = EvaluationEvent['type'];

/** Events of one panel's log. */
export const panelEvent = v.variant('type', [
  v.strictObject({
    type: v.literal('panel-created'),
    data: v.strictObject({ panel: panelId, title: v.string(), occasion: v.string() }),
  }),
  v.strictObject({
    type: v.literal('seat-offered'),
    data: v.strictObject({ seat: seatId, role, letter, label: v.string() }),
  }),
  v.strictObject({ type: v.literal('offer-cancelled'), data: v.strictObject({ seat: seatId }) }),
  seatTaken,
  seatRevoked,
  /** Somebody typed the code of a free seat and waits to be let in. */
  v.strictObject({
    type: v.literal('seat-asked'),
    data: v.strictObject({ seat: seatId, device: deviceId, nameHash: sha256Hex }),
  }),
  /** A further device of a taken seat came by a typed code and waits; `move`: it takes the others' place. */
  v.strictObject({
    type: v.literal('device-asked'),
    data: v.strictObject({ seat: seatId, device: deviceId, move: v.boolean() }),
  }),
  /** Followed by `seat-taken`, `device-added` or `device-moved`. */
  v.strictObject({
    type: v.literal('arrival-admitted'),
    data: v.strictObject({ seat: seatId, device: deviceId }),
  }),
  v.strictObject({
    type: v.literal('arrival-refused'),
    data: v.strictObject({ seat: seatId, device: deviceId }),
  }),
  paperSeatMade,
  /** A moderator opened the entry of typed codes again, after guessing had closed it. */
  v.strictObject({ type: v.literal('codes-reopened'), data: v.strictObject({}) }),
  v.strictObject({
    type: v.literal('device-added'),
    data: v.strictObject({ seat: seatId }),
  }),
  v.strictObject({
    type: v.literal('device-moved'),
    data: v.strictObject({ seat: seatId }),
  }),
  v.strictObject({
    type: v.literal('name-erased'),
    data: v.strictObject({ seat: seatId }),
  }),
  v.strictObject({
    type: v.literal('interest-declared'),
    data: v.strictObject({ seat: seatId, declaration }),
  }),
  v.strictObject({
    type: v.literal('evaluation-added'),
    data: v.strictObject({ evaluation: evaluationId, title: v.string() }),
  }),
  /** A public read-only link. Its secret is given once; the log holds SHA-256 of it. */
  v.strictObject({
    type: v.literal('link-published'),
    data: v.strictObject({
      link: linkId,
      evaluation: evaluationId,
      what: v.picklist(['record', 'card']),
      names: v.boolean(),
      secretHash: sha256Hex,
    }),
  }),
  v.strictObject({ type: v.literal('link-ended'), data: v.strictObject({ link: linkId }) }),
  safetyEvent,
]);
export type PanelEvent = v.InferOutput<typeof panelEvent>;
