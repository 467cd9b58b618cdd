import { placeTrial, type Envelope, type EvaluationEvent } from '@unhindered/shared-types';
import { foldSafety } from './safety.ts';
import { foldPhoto } from './specimen-photos.ts';
import {
  emptyEvaluation,
  type CurrentRating,
  type EvaluationState,
  type RoundState,
} from './state.ts';

/** An event with what the envelope adds to it: when, and by whose seat. */
export type Stamped = EvaluationEvent & Pick<Envelope, 'at' | 'actor'>;

const set = <K, V>(map: ReadonlyMap<K, V>, key: K, value: V): ReadonlyMap<K, V> =>
  new Map(map).set(key, value);

const without = <V>(map: ReadonlyMap<string, V>, key: string): ReadonlyMap<string, V> => {
  const copy = new Map(map);
  copy.delete(key);
  return copy;
};

const inRound = (
  state: EvaluationState,
  number: number,
  change: (round: RoundState) => Partial<RoundState>,
): EvaluationState => ({
  ...state,
  rounds: state.rounds.map((r) => (r.number === number ? { ...r, ...change(r) } : r)),
});

const rate = (
  state: EvaluationState,
  task: string,
  seat: string,
  rating: CurrentRating,
): EvaluationState => ({
  ...state,
  ratings: set(
    state.ratings,
    task,
    set(state.ratings.get(task) ?? new Map<string, CurrentRating>(), seat, rating),
  ),
});

type Imported = Extract<EvaluationEvent, { type: 'ratings-imported' }>['data'];

/** Rounds from paper stand as opened: nothing of them was ever hidden here. */
const foldPaper = (
  state: EvaluationState,
  { rounds, ...about }: Imported,
  at: string,
  by: string,
): EvaluationState => {
  const ratings = new Map<string, Map<string, CurrentRating>>();
  for (const { round, sheets } of rounds) {
    for (const { seat, ratings: given } of sheets) {
      for (const { task, rating } of given) {
        const plain = { rating, round, changed: false, late: false, corrected: null };
        ratings.set(task, (ratings.get(task) ?? new Map<string, CurrentRating>()).set(seat, plain));
      }
    }
  }
  return {
    ...state,
    stage: 'opened',
    paper: { ...about, at, by },
    ratings,
    rounds: rounds.map(({ round, tasks, sheets }) => ({
      number: round,
      tasks,
      sheets: new Map(),
      finished: new Set(),
      observed: new Map(),
      recorded: new Map(sheets.map(({ seat }) => [seat, about.sha256])),
      startedAt: null,
      openedAt: at,
    })),
  };
};

type Folders = {
  [T in EvaluationEvent['type']]: (
    state: EvaluationState,
    event: Extract<EvaluationEvent, { type: T }> & Pick<Envelope, 'at' | 'actor'>,
  ) => EvaluationState;
};

const folders: Folders = {
  'evaluation-created': (s, e) => ({ ...s, created: e.data }),
  'specimen-corrected': (s, { data, at }) => ({
    ...s,
    specimenCorrections: [...s.specimenCorrections, { ...data, at }],
  }),
  'specimen-photo-added': foldPhoto,
  'specimen-photo-captioned': foldPhoto,
  'specimen-photo-removed': foldPhoto,
  'fit-checked': (s, { data, at, actor }) => ({
    ...s,
    fitChecks: set(s.fitChecks, data.fit, { ...data, at, by: actor }),
  }),
  'fit-overridden': (s, { data, at, actor }) => ({
    ...s,
    fitOverrides: [
      ...s.fitOverrides,
      { reason: data.reason, by: actor, at, after: s.fitChecks.size },
    ],
  }),
  'seat-taken': (s, { data }) => ({
    ...s,
    seats: set(s.seats, data.seat, {
      ...data,
      revoked: false,
      declaration: null,
      excluded: [],
    }),
  }),
  'seat-revoked': (s, { data }) => {
    const seat = s.seats.get(data.seat);
    return seat ? { ...s, seats: set(s.seats, data.seat, { ...seat, revoked: true }) } : s;
  },
  'interest-declared': (s, { data }) => {
    const seat = s.seats.get(data.seat);
    if (!seat) return s;
    const { declaration, excluded } = data;
    return { ...s, seats: set(s.seats, data.seat, { ...seat, declaration, excluded }) };
  },
  'round-started': (s, { data, at }) => ({
    ...s,
    stage: 'sealed',
    rounds: [
      ...s.rounds,
      {
        number: data.round,
        tasks: data.tasks,
        sheets: new Map(data.sheets.map((sheet) => [sheet.seat, sheet.document])),
        finished: new Set(),
        observed: new Map(),
        recorded: new Map(),
        startedAt: at,
        openedAt: null,
      },
    ],
  }),
  'sheet-added': (s, { data }) =>
    inRound(s, data.round, (r) => ({ sheets: set(r.sheets, data.seat, data.document) })),
  'sheet-finished': (s, { data }) =>
    inRound(s, data.round, (r) => ({ finished: new Set([...r.finished, data.seat]) })),
  'sheet-resumed': (s, { data }) =>
    inRound(s, data.round, (r) => ({
      finished: new Set([...r.finished].filter((seat) => seat !== data.seat)),
    })),
  'sheet-recorded': (s, { data }) => {
    const recorded = inRound(s, data.round, (r) => ({
      recorded: set(r.recorded, data.seat, data.digest),
    }));
    // One copy of the tasks for the whole sheet.
    const ratings = new Map(s.ratings);
    for (const { task, rating, changed } of data.ratings) {
      const plain = { rating, round: data.round, changed, late: false, corrected: null };
      ratings.set(
        task,
        set(ratings.get(task) ?? new Map<string, CurrentRating>(), data.seat, plain),
      );
    }
    const next = { ...recorded, ratings };
    const remarks = data.remarks.map((remark, i) => ({
      ...remark,
      key: `${data.seat}/round-${String(data.round)}-${String(i)}`,
      seat: data.seat,
      replaces: null,
    }));
    return { ...next, remarks: [...next.remarks, ...remarks] };
  },
  'round-opened': (s, { data, at }) => ({
    ...inRound(s, data.round, () => ({ openedAt: at })),
    stage: 'opened',
  }),
  'ratings-imported': (s, { data, at, actor }) => foldPaper(s, data, at, actor),
  'rating-corrected': (s, { data }) => {
    const old = s.ratings.get(data.task)?.get(data.seat);
    return rate(s, data.task, data.seat, {
      rating: data.new,
      round: data.round,
      changed: old?.changed ?? false,
      late: old?.late ?? false,
      corrected: { old: data.old, reason: data.reason },
    });
  },
  'late-offered': (s, { data, at }) => ({
    ...s,
    late: set(s.late, data.late, { ...data, offeredAt: at, decision: null }),
  }),
  'late-decided': (s, { data }) => {
    const offer = s.late.get(data.late);
    if (!offer) return s;
    const decision = { admitted: data.admitted, reason: data.reason };
    const next = { ...s, late: set(s.late, data.late, { ...offer, decision }) };
    if (!data.admitted) return next;
    return rate(next, offer.task, offer.seat, {
      rating: offer.rating,
      round: offer.round,
      changed: false,
      late: true,
      corrected: null,
    });
  },
  'task-settled': (s, { data, actor, at }) => {
    const { how, value, reason } = data;
    return { ...s, settled: set(s.settled, data.task, { how, value, reason, by: actor, at }) };
  },
  'task-reopened': (s, { data }) => ({
    ...s,
    settled: without(s.settled, data.task),
    gates: without(s.gates, data.task),
  }),
  'gate-decided': (s, { data, actor, at }) => {
    const { confirmed, backedByTrials, reason } = data;
    const decision = { confirmed, backedByTrials, reason, by: actor, at };
    return { ...s, gates: set(s.gates, data.task, decision) };
  },
  'entry-posted': (s, e) => {
    const { data, at: keptAt } = e;
    const { key, seat, entry } = data;
    if (entry.kind !== 'remark') {
      const moderates = (who: string): boolean => s.seats.get(who)?.role === 'moderator';
      const trials = placeTrial(s.trials, { key, seat, entry, keptAt }, moderates);
      return foldSafety({ ...s, trials }, e);
    }
    const { task, text, at, replaces } = entry;
    const remark = { key: data.key, seat: data.seat, task, text, at, replaces };
    return { ...s, remarks: [...s.remarks, remark] };
  },
  'task-presented': (s, { data }) => ({ ...s, present: data.task }),
  'evaluation-locked': (s, { data, at }) => ({ ...s, stage: 'locked', locked: { ...data, at } }),
  'endorsement-stated': (s, { data, at }) => {
    const { seat, content, reason } = data;
    return { ...s, endorsements: set(s.endorsements, seat, { content, reason, at }) };
  },
  'media-attached': (s, { data, at }) => {
    const media = { ...data, attachedAt: at, moments: [], watchedBy: [], removed: null };
    return { ...s, media: set(s.media, data.media, media) };
  },
  'media-removed': (s, { data, actor, at }) => {
    const media = s.media.get(data.media);
    if (!media) return s;
    const removed = { by: actor, reason: data.reason, at };
    return { ...s, media: set(s.media, data.media, { ...media, removed }) };
  },
  'moment-marked': (s, { data: { media: id, ...moment } }) => {
    const media = s.media.get(id);
    if (!media) return s;
    return { ...s, media: set(s.media, id, { ...media, moments: [...media.moments, moment] }) };
  },
  'clip-watched': (s, { data: { media: id, seat } }) => {
    const media = s.media.get(id);
    if (!media) return s;
    return { ...s, media: set(s.media, id, { ...media, watchedBy: [...media.watchedBy, seat] }) };
  },
  'observation-stated': (s, { data: { round, seat, how } }) =>
    inRound(s, round, (r) => ({ observed: set(r.observed, seat, how) })),
  'everyone-stopped': foldSafety,
  'everyone-resumed': foldSafety,
  'briefing-acknowledged': foldSafety,
  'consent-recorded': foldSafety,
  'consent-withdrawn': foldSafety,
  'model-trials-decided': foldSafety,
  'incident-noted': foldSafety,
  // What happened to the server stands in the log for its readers; it changes nothing of the evaluation.
  'server-started': (s) => s,
  'clock-jumped': (s) => s,
  'store-restored': (s) => s,
  'evaluation-withdrawn': (s, { data, at }) => ({
    ...s,
    stage: 'withdrawn',
    withdrawnBecause: data.reason,
    withdrawnAt: at,
  }),
  'evaluation-superseded': (s, { data, at }) => ({
    ...s,
    supersededBy: { evaluation: data.by, reason: data.reason, at },
  }),
};

/** EV-1: state is a fold over events; the same events give the same state. Copies what it changes. */
export const apply = (state: EvaluationState, event: Stamped): EvaluationState => {
  const folder = folders[event.type] as (s: EvaluationState, e: Stamped) => EvaluationState;
  return folder(state, event);
};

/** The state after all events of one log, oldest first. */
export const fold = (events: readonly Stamped[]): EvaluationState =>
  events.reduce(apply, emptyEvaluation);
