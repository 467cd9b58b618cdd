import type { EvaluationEvent, Protocol, Rating } from '@unhindered/shared-types';
import type { Bench } from './trial-thread.ts';
import { emptyFit, mayOpen, takeFit, type FitReplay } from './fit.ts';
import { isMediaEvent, takeMedia, type MediaSeen } from './media.ts';
import { besidePaper, takePaper, type PaperReplay } from './paper.ts';
import { isPhotoEvent, piecesOf, takeCorrection, takePhoto, type PieceReplay } from './pieces.ts';
import { emptySafety, isSafetyLogged, takeSafety, type SafetyReplay } from './safety.ts';
import { takeEntry } from './trials.ts';

/** What the verifier keeps while it walks through the events: enough to judge transitions and figures. */
export interface Replay extends Bench, FitReplay, PieceReplay, SafetyReplay, PaperReplay {
  evaluation: string | null;
  stage: 'new' | 'preparing' | 'sealed' | 'opened' | 'locked' | 'withdrawn';
  seats: Map<string, { role: string; revoked: boolean; excluded: string[]; nameHash: string }>;
  order: string[];
  rounds: { tasks: string[]; sheets: Set<string>; recorded: Set<string>; opened: boolean }[];
  /** task, then seat. */
  ratings: Map<string, Map<string, Rating>>;
  late: Map<string, { task: string; seat: string; rating: Rating; decided: boolean }>;
  settled: Map<string, { how: string; value: string | null }>;
  gates: Map<string, { confirmed: boolean; backedByTrials: boolean }>;
  /** Whether a seat would be content, by its last statement. */
  endorsements: Map<string, boolean>;
  media: MediaSeen;
  /** What became of the record after its lock. */
  since: { superseded: string | null; withdrawn: string | null };
}

export const emptyReplay = (): Replay => ({
  stage: 'new',
  seats: new Map(),
  order: [],
  rounds: [],
  ratings: new Map(),
  late: new Map(),
  settled: new Map(),
  fit: emptyFit(),
  pieces: new Map(),
  photos: new Map(),
  gates: new Map(),
  endorsements: new Map(),
  safety: emptySafety(),
  paper: null,
  media: new Map(),
  entries: new Set(),
  trials: [],
  evaluation: null,
  since: { superseded: null, withdrawn: null },
});

/** Stages in which an event may stand, and roles that may cause it. `any` includes the seat itself on joining. */
const RULES: Record<
  EvaluationEvent['type'],
  { stages: Replay['stage'][]; roles: string[] | 'any' }
> = {
  'evaluation-created': { stages: ['new'], roles: ['moderator'] },
  'specimen-corrected': { stages: ['preparing', 'sealed', 'opened'], roles: 'any' },
  'specimen-photo-added': { stages: ['preparing', 'sealed', 'opened'], roles: 'any' },
  'specimen-photo-captioned': { stages: ['preparing', 'sealed', 'opened'], roles: 'any' },
  'specimen-photo-removed': {
    stages: ['preparing', 'sealed', 'opened', 'locked', 'withdrawn'],
    roles: 'any',
  },
  'fit-checked': { stages: ['preparing', 'sealed', 'opened'], roles: ['moderator', 'recorder'] },
  'fit-overridden': { stages: ['preparing', 'sealed'], roles: ['moderator'] },
  'seat-taken': { stages: ['preparing', 'sealed', 'opened'], roles: 'any' },
  'seat-revoked': { stages: ['preparing', 'sealed', 'opened'], roles: ['moderator'] },
  'interest-declared': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer'],
  },
  'round-started': { stages: ['preparing', 'opened'], roles: ['moderator'] },
  'sheet-added': { stages: ['sealed', 'opened'], roles: 'any' },
  'sheet-finished': { stages: ['sealed', 'opened'], roles: ['reviewer'] },
  'sheet-resumed': { stages: ['sealed'], roles: ['reviewer'] },
  'sheet-recorded': { stages: ['sealed', 'opened'], roles: ['moderator', 'reviewer'] },
  'round-opened': { stages: ['sealed'], roles: ['moderator'] },
  'ratings-imported': { stages: ['preparing'], roles: ['moderator'] },
  'rating-corrected': { stages: ['opened'], roles: ['reviewer'] },
  'late-offered': { stages: ['sealed', 'opened'], roles: ['reviewer'] },
  'late-decided': { stages: ['sealed', 'opened'], roles: ['moderator'] },
  'task-settled': { stages: ['opened'], roles: ['moderator'] },
  'task-reopened': { stages: ['opened'], roles: ['moderator'] },
  'gate-decided': { stages: ['opened'], roles: ['moderator'] },
  'entry-posted': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'recorder', 'operator'],
  },
  'task-presented': { stages: ['preparing', 'sealed', 'opened'], roles: ['moderator'] },
  'evaluation-locked': { stages: ['opened'], roles: ['moderator'] },
  'endorsement-stated': { stages: ['opened'], roles: ['reviewer'] },
  'evaluation-withdrawn': {
    stages: ['preparing', 'sealed', 'opened', 'locked'],
    roles: ['moderator'],
  },
  'evaluation-superseded': { stages: ['locked'], roles: ['moderator'] },
  'media-attached': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'recorder', 'operator'],
  },
  'media-removed': {
    stages: ['preparing', 'sealed', 'opened', 'locked', 'withdrawn'],
    roles: ['moderator'],
  },
  'moment-marked': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  },
  'clip-watched': { stages: ['preparing', 'sealed', 'opened'], roles: ['reviewer'] },
  'observation-stated': { stages: ['sealed', 'opened'], roles: ['reviewer'] },
  'everyone-stopped': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'recorder', 'operator'],
  },
  'everyone-resumed': { stages: ['preparing', 'sealed', 'opened'], roles: ['moderator'] },
  'briefing-acknowledged': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'recorder', 'operator'],
  },
  'consent-recorded': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'recorder'],
  },
  'consent-withdrawn': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  },
  'model-trials-decided': { stages: ['preparing', 'sealed', 'opened'], roles: ['moderator'] },
  'incident-noted': {
    stages: ['preparing', 'sealed', 'opened'],
    roles: ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  },
  'server-started': { stages: ['preparing', 'sealed', 'opened'], roles: ['system'] },
  'clock-jumped': { stages: ['preparing', 'sealed', 'opened'], roles: ['system'] },
  'store-restored': { stages: ['preparing', 'sealed', 'opened'], roles: ['system'] },
};

/** What somebody may cause who has no seat yet, or writes to the register from another panel. */
const UNSEATED = new Set(['interest-declared', 'sheet-added', 'specimen-corrected']);

/** Why an event cannot stand where it stands; undefined when it can. */
export const misplaced = (
  r: Replay,
  event: EvaluationEvent,
  actor: string,
  role: string,
): string | undefined => {
  const rule = RULES[event.type];
  if (!rule.stages.includes(r.stage)) return `"${event.type}" cannot stand while it is ${r.stage}`;
  const beside = besidePaper(r, event.type, actor);
  if (beside !== undefined) return beside;
  const bySystem = actor === 'system' && role === 'system';
  const forSystem = rule.roles !== 'any' && rule.roles.includes('system');
  if (bySystem || forSystem) {
    return bySystem && forSystem ? undefined : `a ${role} may not cause "${event.type}"`;
  }
  const seat = r.seats.get(actor);
  // The first events seat the panel: the maker of the evaluation is among those seated right after.
  if (r.stage === 'new' || (event.type === 'seat-taken' && !seat)) return undefined;
  if (!seat && (UNSEATED.has(event.type) || isPhotoEvent(event))) return undefined;
  if (!seat) return `nobody with the seat ${actor} sits here`;
  if (seat.role !== role) return `the seat ${actor} is a ${seat.role}, not a ${role}`;
  if (seat.revoked) return `the seat ${actor} was revoked`;
  if (rule.roles !== 'any' && !rule.roles.includes(role))
    return `a ${role} may not cause "${event.type}"`;
  return undefined;
};

const UNFIT = 'the first round opened without a passed fit check, and without a reason';

const rate = (r: Replay, task: string, seat: string, rating: Rating): void => {
  const row = r.ratings.get(task) ?? new Map<string, Rating>();
  r.ratings.set(task, row.set(seat, rating));
};

const takeSheet = (
  r: Replay,
  { round: number, seat, ratings }: Extract<EvaluationEvent, { type: 'sheet-recorded' }>['data'],
): string | undefined => {
  const round = r.rounds[number - 1];
  if (!round?.sheets.has(seat)) return 'the seat has no sheet in this round';
  if (round.recorded.has(seat)) return 'the sheet is recorded already';
  round.recorded.add(seat);
  for (const { task, rating } of ratings) rate(r, task, seat, rating);
  return undefined;
};

/** Takes one event; returns what is wrong with it in the light of the ones before. */
export const takeEvent = (r: Replay, event: EvaluationEvent, actor: string): string | undefined => {
  if (isMediaEvent(event)) return takeMedia(r, event, actor);
  if (isPhotoEvent(event)) return takePhoto(r, event);
  if (isSafetyLogged(event)) return takeSafety(r, event, actor);
  switch (event.type) {
    case 'evaluation-created':
      r.stage = 'preparing';
      r.evaluation = event.data.evaluation;
      r.fit.asked = event.data.fitCheck === 'required';
      r.pieces = piecesOf(event.data.registered);
      return undefined;
    case 'specimen-corrected':
      return takeCorrection(r, event.data);
    case 'fit-checked':
    case 'fit-overridden':
      return takeFit(r, event);
    case 'seat-taken': {
      const { seat, role, nameHash } = event.data;
      if (r.seats.has(seat)) return 'the seat is taken already';
      r.seats.set(seat, { role, nameHash, revoked: false, excluded: [] });
      if (role === 'reviewer') r.order.push(seat);
      return undefined;
    }
    case 'seat-revoked': {
      const seat = r.seats.get(event.data.seat);
      if (seat) seat.revoked = true;
      return seat ? undefined : 'no such seat';
    }
    case 'interest-declared': {
      const seat = r.seats.get(event.data.seat);
      if (seat) seat.excluded = event.data.excluded;
      return seat ? undefined : 'no such seat';
    }
    case 'round-started': {
      if (event.data.round !== r.rounds.length + 1) return 'the rounds are not counted in order';
      const sheets = new Set(event.data.sheets.map((s) => s.seat));
      r.rounds.push({ tasks: event.data.tasks, sheets, recorded: new Set(), opened: false });
      r.stage = 'sealed';
      return undefined;
    }
    case 'sheet-added':
      r.rounds.at(-1)?.sheets.add(event.data.seat);
      return undefined;
    case 'sheet-recorded':
      return takeSheet(r, event.data);
    case 'round-opened':
      if (r.safety.stopped) return 'the round opened while everyone had stopped';
      if (event.data.round === 1 && !mayOpen(r)) return UNFIT;
      for (const round of r.rounds.slice(-1)) round.opened = true;
      r.stage = 'opened';
      return undefined;
    case 'ratings-imported':
      return takePaper(r, event.data);
    case 'rating-corrected':
      rate(r, event.data.task, event.data.seat, event.data.new);
      return undefined;
    case 'late-offered':
      r.late.set(event.data.late, { ...event.data, decided: false });
      return undefined;
    case 'late-decided': {
      const offer = r.late.get(event.data.late);
      if (!offer || offer.decided) return 'no such late rating waits';
      offer.decided = true;
      if (event.data.admitted) rate(r, offer.task, offer.seat, offer.rating);
      return undefined;
    }
    case 'task-settled':
      if (r.settled.has(event.data.task)) return 'the task is settled already';
      r.settled.set(event.data.task, event.data);
      return undefined;
    case 'task-reopened':
      r.settled.delete(event.data.task);
      r.gates.delete(event.data.task);
      return undefined;
    case 'gate-decided': {
      const before = r.gates.get(event.data.task);
      // Trials that came to meet the criterion after a rejection call for a new decision.
      const overtaken = before && !before.confirmed && !before.backedByTrials;
      if (before && !(overtaken && event.data.backedByTrials)) return 'the gate is decided already';
      r.gates.set(event.data.task, event.data);
      return undefined;
    }
    case 'entry-posted':
      return takeEntry(r, event.data, actor);
    case 'evaluation-locked':
      r.stage = 'locked';
      return undefined;
    case 'evaluation-withdrawn':
      r.stage = 'withdrawn';
      r.since.withdrawn = event.data.reason;
      return undefined;
    case 'evaluation-superseded':
      if (r.since.superseded !== null) return 'the record is superseded already';
      if (event.data.by === r.evaluation) return 'no record takes its own place';
      r.since.superseded = event.data.by;
      return undefined;
    case 'endorsement-stated':
      r.endorsements.set(event.data.seat, event.data.content);
      return event.data.seat === actor ? undefined : 'nobody states this for another seat';
    case 'sheet-finished':
    case 'sheet-resumed':
    case 'task-presented':
    case 'server-started':
    case 'clock-jumped':
    case 'store-restored':
      return undefined;
  }
};

/** Tasks of the protocol in its order. */
export const tasksOf = (p: Protocol): Protocol['sections'][number]['tasks'] =>
  p.sections.flatMap((s) => s.tasks);
