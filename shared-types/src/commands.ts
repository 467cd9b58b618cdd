import * as v from 'valibot';
import {
  commandId,
  deviceId,
  evaluationId,
  fitId,
  instant,
  lateId,
  linkId,
  mediaId,
  panelId,
  seatId,
  slug,
  specimenId,
} from './ids.ts';
import { declaration } from './interest.ts';
import { clipTime, mediaPlace, observation } from './media.ts';
import { importRatings, paperCheckBody } from './paper.ts';
import { personName } from './person-name.ts';
import { rating } from './rating.ts';
import { role } from './roles.ts';
import { decideModelTrials, noteIncident, safetyCommand } from './safety.ts';
import { fitCheck } from './fit.ts';
import { specimen, specimenDetails } from './specimen.ts';
import { specimenPhotoCommands } from './specimen-photo.ts';
import { decisionReason, line, shortReason, text } from './text.ts';
import { workshopCommands } from './workshop.ts';

const round = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(99));
/** A settled value: a point or a half point of the scale, as a decimal string. */
export const halfPoint = v.pipe(v.string(), v.regex(/^-?\d{1,3}(\.5)?$/u));
const tasks = v.pipe(v.array(slug), v.minLength(1), v.maxLength(500));

/** Commands that change one evaluation. */
export const evaluationCommand = v.variant('type', [
  /** Seals round 1: every task, every seated reviewer. */
  v.strictObject({ type: v.literal('start-round') }),
  v.strictObject({ type: v.literal('finish-sheet') }),
  v.strictObject({ type: v.literal('resume-sheet') }),
  /** `withMissing` is the second press: open although some ratings or "finished" are missing. */
  v.strictObject({ type: v.literal('open-round'), withMissing: v.boolean() }),
  /** The owner corrects a slip after the opening; both values stay on show. */
  v.strictObject({ type: v.literal('correct-rating'), task: slug, rating, reason: shortReason }),
  /** Ratings made on a device before the opening that reached the server after it. */
  v.strictObject({
    type: v.literal('offer-late'),
    round,
    ratings: v.pipe(
      v.array(v.strictObject({ task: slug, rating })),
      v.minLength(1),
      v.maxLength(500),
    ),
  }),
  importRatings,
  v.strictObject({
    type: v.literal('decide-late'),
    late: lateId,
    admit: v.boolean(),
    reason: shortReason,
  }),
  v.strictObject({ type: v.literal('call-round'), tasks, reason: v.nullable(shortReason) }),
  v.strictObject({
    type: v.literal('settle-task'),
    task: slug,
    how: v.picklist(['adopt', 'decide', 'leave-open']),
    /** The value with `decide`; else the median that the moderator saw, or null when none is vouched for. */
    value: v.nullable(halfPoint),
    /** Written reason for `decide` and `leave-open`; optional for `adopt`. */
    reason: v.nullable(decisionReason),
  }),
  /** Adopts the median of every opened task that has no flag and is not settled yet. */
  v.strictObject({ type: v.literal('adopt-undisputed') }),
  v.strictObject({ type: v.literal('reopen-task'), task: slug, reason: decisionReason }),
  v.strictObject({
    type: v.literal('decide-gate'),
    task: slug,
    confirm: v.boolean(),
    reason: decisionReason,
  }),
  v.strictObject({ type: v.literal('present-task'), task: v.nullable(slug) }),
  /** `meaning` is what the signature stands for, in the signer's words. */
  v.strictObject({ type: v.literal('lock'), meaning: text(3, 500) }),
  /** Before the lock the evaluation ends; after it the record stays, and says that it was withdrawn. */
  v.strictObject({ type: v.literal('withdraw'), reason: decisionReason }),
  /** Names the locked evaluation that takes this one's place. */
  v.strictObject({ type: v.literal('supersede'), by: evaluationId, reason: decisionReason }),
  /** Whether a reviewer would be content to see the piece worn by athletes in their care. */
  v.strictObject({ type: v.literal('endorse'), content: v.boolean(), reason: shortReason }),
  /** `replaces` names a check that this one corrects; then a reason is needed. */
  v.strictObject({
    type: v.literal('check-fit'),
    check: fitCheck,
    replaces: v.nullable(fitId),
    reason: v.nullable(shortReason),
  }),
  /** Lets the first round open without a passed fit check. */
  v.strictObject({ type: v.literal('override-fit'), reason: decisionReason }),
  /** Attaches what this seat has uploaded. Who sends it says that it shows no face. */
  v.strictObject({
    type: v.literal('attach-media'),
    media: mediaId,
    place: mediaPlace,
    description: line(3, 200),
    withoutFaces: v.literal(true),
  }),
  /** The file goes from the disk; its hash and the reason stay. */
  v.strictObject({ type: v.literal('remove-media'), media: mediaId, reason: shortReason }),
  v.strictObject({
    type: v.literal('mark-moment'),
    media: mediaId,
    ms: clipTime,
    label: line(1, 80),
  }),
  /** This reviewer plays a clip. */
  v.strictObject({ type: v.literal('watch-clip'), media: mediaId }),
  /** How this reviewer sees the work of the present round. */
  v.strictObject({ type: v.literal('state-observation'), how: observation }),
  decideModelTrials,
  noteIncident,
]);
export type EvaluationCommand = v.InferOutput<typeof evaluationCommand>;
export type EvaluationCommandType = EvaluationCommand['type'];

/** Commands that change a panel: seats, invitations, declarations, its evaluations. */
export const panelCommand = v.variant('type', [
  v.strictObject({
    type: v.literal('invite'),
    role,
    label: line(0, 60),
    /** `code` is typed within minutes, `link` serves a remote person until `until`. */
    by: v.picklist(['code', 'link']),
    until: v.nullable(instant),
    /** Re-invite the holder of a seat on a new device; null makes a new seat. */
    seat: v.nullable(seatId),
    /** With `seat`: the new device takes the place of every other device of the seat. */
    move: v.optional(v.boolean()),
    /** Who types the code is let in at once; otherwise they wait until a moderator admits them. */
    open: v.optional(v.boolean()),
  }),
  /** Lets in a device that came by a typed code and waits. */
  v.strictObject({ type: v.literal('admit-arrival'), seat: seatId, device: deviceId }),
  /** Turns it away: its session learns that and nothing else; a free seat is on offer again. */
  v.strictObject({ type: v.literal('refuse-arrival'), seat: seatId, device: deviceId }),
  /** Takes typed codes again that guessing had closed, on the whole server. */
  v.strictObject({ type: v.literal('reopen-codes') }),
  v.strictObject({ type: v.literal('cancel-invitation'), seat: seatId }),
  v.strictObject({ type: v.literal('revoke-seat'), seat: seatId, reason: shortReason }),
  v.strictObject({ type: v.literal('declare-interest'), declaration }),
  v.strictObject({
    type: v.literal('create-evaluation'),
    title: line(1, 120),
    /** A description of its own, or a specimen of the register: one of the two. */
    specimen: v.optional(specimen),
    registered: v.optional(specimenId),
    protocol: v.strictObject({ id: slug, version: v.pipe(v.string(), v.maxLength(16)) }),
    /** The locked evaluation that this one does again. */
    reevaluates: v.optional(evaluationId),
  }),
  /** The register of specimens belongs to the workspace; whoever may write in it does so from a panel. */
  v.strictObject({ type: v.literal('register-specimen'), details: specimenDetails }),
  v.strictObject({
    type: v.literal('correct-specimen'),
    specimen: specimenId,
    details: specimenDetails,
    reason: shortReason,
  }),
  v.strictObject({
    type: v.literal('retire-specimen'),
    specimen: specimenId,
    reason: shortReason,
  }),
  ...specimenPhotoCommands,
  /** A code or link for a further device of the caller's own seat; both devices stay live. */
  v.strictObject({ type: v.literal('add-device') }),
  /** A code for another device of the caller's own seat; this device is signed out when it is used. */
  v.strictObject({ type: v.literal('move-device') }),
  /** Makes a public read-only link to the record or the care card of a locked evaluation of the panel. */
  v.strictObject({
    type: v.literal('publish-link'),
    evaluation: evaluationId,
    what: v.picklist(['record', 'card']),
    names: v.boolean(),
  }),
  v.strictObject({ type: v.literal('end-link'), link: linkId }),
  /** Forgets the name and what could prove it; the log keeps a hash that says nothing any more. */
  v.strictObject({ type: v.literal('erase-name'), seat: seatId }),
  safetyCommand,
]);
export type PanelCommand = v.InferOutput<typeof panelCommand>;
export type PanelCommandType = PanelCommand['type'];

/** Commands on the workspace: of the lead, and on its protocols also of moderators. */
export const workspaceCommand = v.variant('type', [
  v.strictObject({
    type: v.literal('create-panel'),
    title: line(1, 120),
    /** Day or season, as people say it. */
    occasion: line(0, 120),
    /** The name the lead takes as the panel's first moderator. */
    moderatorName: personName(1, 80),
  }),
  ...workshopCommands,
]);
export type WorkspaceCommand = v.InferOutput<typeof workspaceCommand>;

const envelope = {
  id: commandId,
  clientAt: instant,
};

/** One command message: what is addressed, and what to do to it. */
export const commandMessage = v.variant('on', [
  v.strictObject({ ...envelope, on: v.literal('workspace'), command: workspaceCommand }),
  v.strictObject({ ...envelope, on: v.literal('panel'), panel: panelId, command: panelCommand }),
  v.strictObject({
    ...envelope,
    on: v.literal('evaluation'),
    evaluation: evaluationId,
    command: evaluationCommand,
  }),
]);

/** POST /api/evaluations/:id/paper: a command of that evaluation with the file that it brings in. */
export const paperImportBody = v.strictObject({
  ...paperCheckBody.entries,
  id: commandId,
  clientAt: instant,
  command: importRatings,
});
export type CommandMessage = v.InferOutput<typeof commandMessage>;
