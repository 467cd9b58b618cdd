import {
  done,
  ratingFault,
  refused,
  reject,
  type Outcome,
  type PracticeComparison,
  type PracticeList,
  type PracticeOffer,
  type PracticeView,
  type Rejection,
} from '@unhindered/shared-types';
import { comparePractice, type PracticeRating } from '../evaluation/practice.ts';
import type { EvaluationState, MediaState } from '../evaluation/state.ts';
import type { Session } from '../ports/store.ts';
import { nowText, protocolOf, whyReadOnly, type App, type LiveEvaluation } from './app.ts';

/** What is kept of a practice. Ratings come with its end: until then they are on the device alone. */
interface Kept {
  state: 'begun' | 'finished' | 'given-up';
  at: string;
  shared: boolean;
  ratings: PracticeRating[];
}

/** Who practises: a reviewer's own seat. */
export interface Practiser {
  seat: string;
  panel: string;
}

const keptOf = async (app: App, seat: string): Promise<Map<string, Kept>> => {
  const rows = await app.store.practices(seat);
  return new Map(rows.map((r) => [r.evaluation, JSON.parse(r.text) as Kept]));
};

const keep = async (app: App, seat: string, evaluation: string, kept: Kept): Promise<void> => {
  await app.store.commit({ practices: [{ seat, evaluation, text: JSON.stringify(kept) }] });
};

/**
 * CP-2: why a seat is not given the results of an evaluation, or of any when none is named: it practises, and has not
 * handed its practice in. Undefined when it may have them.
 */
export const practiceRefusal = async (
  app: App,
  seat: string | null,
): Promise<Rejection | undefined> => {
  if (seat === null) return undefined;
  const begun = [...(await keptOf(app, seat)).values()].some((k) => k.state === 'begun');
  return begun
    ? reject(
        'round-sealed',
        'You are practising: what panels found opens to you when you finish the practice, or give it up.',
      )
    : undefined;
};

/** The reviewer of a session; a refusal for everybody else. */
export const practiserOf = async (app: App, session: Session): Promise<Outcome<Practiser>> => {
  const { seat, panel } = session;
  const known = panel === null ? undefined : await app.logs.panelNow(panel);
  const state = known?.state.seats.get(seat ?? '');
  if (seat === null || panel === null || session.arrival !== 'admitted' || !state) {
    return refused('role-may-not', 'Practice is for reviewers.');
  }
  return state.role === 'reviewer' && state.state === 'taken'
    ? done({ seat, panel })
    : refused('role-may-not', 'Practice is for reviewers.');
};

/** CP-3: only locked evaluations that stand, and only those in which the reviewer never sat. */
const mayPractise = (state: EvaluationState, seat: string): boolean =>
  state.locked !== null && state.stage === 'locked' && !state.seats.has(seat);

const offerOf = (
  app: App,
  live: LiveEvaluation,
  state: PracticeOffer['state'],
): PracticeOffer | undefined => {
  const { created } = live.state;
  if (!created) return undefined;
  const { kind, sport, maker, model, year, size, condition, fastening } = created.specimen;
  const { id, version, title } = protocolOf(app, live.state).protocol;
  return {
    evaluation: live.id,
    title: created.title,
    specimen: { kind, sport, maker, model, year, size, condition, fastening },
    protocol: { id, version, title },
    state,
  };
};

/** Most evaluations on offer: the newest. */
const OFFERS = 50;

/** What a reviewer can practise on, newest first, and what became of what they began. */
export const practiceList = async (app: App, who: Practiser): Promise<PracticeList> => {
  const kept = await keptOf(app, who.seat);
  const locked = (await app.catalogue.all(app))
    .map((e) => e.row)
    .filter((e) => e.state.kind === 'current' || kept.has(e.evaluation))
    .toSorted((a, b) => b.lockedAt.localeCompare(a.lockedAt));
  const offers: PracticeOffer[] = [];
  for (const { evaluation } of locked) {
    if (offers.length >= OFFERS) break;
    const live = await app.logs.evaluation(evaluation);
    if (!live || !(mayPractise(live.state, who.seat) || kept.has(evaluation))) continue;
    const offer = offerOf(app, live, kept.get(evaluation)?.state ?? 'open');
    if (offer) offers.push(offer);
  }
  return { offers };
};

const notThere = (): Outcome<never> =>
  refused('unknown-thing', 'There is no such evaluation to practise on.');

/** The evaluation, if this reviewer may practise on it or did. */
const practised = async (
  app: App,
  who: Practiser,
  evaluation: string,
): Promise<{ live: LiveEvaluation; kept: Kept | undefined } | undefined> => {
  const live = await app.logs.evaluationNow(evaluation);
  const kept = (await keptOf(app, who.seat)).get(evaluation);
  return live && mayPractise(live.state, who.seat) ? { live, kept } : undefined;
};

const compared = (app: App, live: LiveEvaluation, kept: Kept): PracticeComparison | undefined => {
  const { protocol } = protocolOf(app, live.state);
  const offer = offerOf(app, live, 'finished');
  if (!offer) return undefined;
  const { min, max, better, datum } = protocol.scale;
  return {
    evaluation: live.id,
    title: offer.title,
    specimen: offer.specimen,
    protocol: { id: protocol.id, version: protocol.version },
    scale: { min, max, better, datum },
    finishedAt: kept.at,
    shared: kept.shared,
    ...comparePractice(live.state, protocol, kept.ratings),
  };
};

const placeOf = (state: EvaluationState, { place }: MediaState): string | null =>
  place.of === 'task' ? place.task : (state.trials.get(place.key)?.entry.task ?? null);

/** CP-2: what there is to rate while it is not handed in, and nothing of what the panel found; how it went after. */
export const practiceView = async (
  app: App,
  who: Practiser,
  evaluation: string,
): Promise<Outcome<PracticeView>> => {
  const found = await practised(app, who, evaluation);
  if (!found) return notThere();
  const { live, kept } = found;
  if (kept?.state === 'finished') {
    const comparison = compared(app, live, kept);
    return comparison ? done({ kind: 'compared', comparison }) : notThere();
  }
  const offer = offerOf(app, live, kept?.state ?? 'open');
  if (!offer) return notThere();
  const ownPanel = live.state.created?.panel === who.panel;
  const pictures = ownPanel && kept?.state === 'begun' ? [...live.state.media.values()] : [];
  const media = pictures.flatMap((m) =>
    m.removed === null
      ? [
          {
            media: m.media,
            type: m.type,
            task: placeOf(live.state, m),
            description: m.description,
          },
        ]
      : [],
  );
  return done({ kind: 'material', material: { ...offer, media, ownPanel } });
};

/** A picture of the evaluation that the seat practises on; undefined for anything else. */
export const practiceMedia = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
  media: string,
): Promise<MediaState | undefined> => {
  const begun = (await keptOf(app, seat)).get(live.id)?.state === 'begun';
  const found = live.state.media.get(media);
  return begun && found?.removed === null ? found : undefined;
};

const shut = (app: App): Outcome<never> | undefined => {
  const why = whyReadOnly(app);
  return why === null ? undefined : refused('read-only', why);
};

/** Begins a practice, one at a time; from here to its end no result is given to this seat. */
export const beginPractice = async (
  app: App,
  who: Practiser,
  evaluation: string,
): Promise<Outcome<PracticeView>> => {
  const found = await practised(app, who, evaluation);
  if (!found) return notThere();
  const closed = shut(app);
  if (closed) return closed;
  if (found.kept?.state === 'begun') return practiceView(app, who, evaluation);
  if (found.kept) return refused('already-decided', 'You practised on this evaluation already.');
  if (await practiceRefusal(app, who.seat)) {
    return refused('already-started', 'Finish the practice you began first, or give it up.');
  }
  const at = nowText(app);
  await keep(app, who.seat, evaluation, { state: 'begun', at, shared: false, ratings: [] });
  return practiceView(app, who, evaluation);
};

const begunOf = async (
  app: App,
  who: Practiser,
  evaluation: string,
): Promise<Outcome<LiveEvaluation>> => {
  const found = await practised(app, who, evaluation);
  if (!found) return notThere();
  const closed = shut(app);
  if (closed) return closed;
  return found.kept?.state === 'begun'
    ? done(found.live)
    : refused('not-started', 'Begin this practice first, or it is finished already.');
};

/** Hands a practice in: the ratings are kept, beside the logs and in none of them, and compared. */
export const finishPractice = async (
  app: App,
  who: Practiser,
  { evaluation, ratings, share }: { evaluation: string; ratings: PracticeRating[]; share: boolean },
): Promise<Outcome<PracticeView>> => {
  const begun = await begunOf(app, who, evaluation);
  if (!begun.ok) return begun;
  const { protocol } = protocolOf(app, begun.value.state);
  if (new Set(ratings.map((r) => r.task)).size !== ratings.length) {
    return refused('bad-input', 'A task is rated twice. Keep one rating of each.');
  }
  for (const { task, rating } of ratings) {
    const fault = ratingFault(rating, task, protocol);
    if (fault !== undefined) return refused('bad-input', fault, { task });
  }
  const kept = { state: 'finished', at: nowText(app), shared: share, ratings } as const;
  await keep(app, who.seat, evaluation, kept);
  return practiceView(app, who, evaluation);
};

/** Gives a practice up: results open again, and this evaluation is not on offer any more. */
export const giveUpPractice = async (
  app: App,
  who: Practiser,
  evaluation: string,
): Promise<Outcome<PracticeList>> => {
  // Also of a record that was withdrawn meanwhile: nobody is held in a practice that cannot be finished.
  const begun = (await keptOf(app, who.seat)).get(evaluation)?.state === 'begun';
  if (!begun) return refused('not-started', 'There is no such practice to give up.');
  const closed = shut(app);
  if (closed) return closed;
  const kept = {
    state: 'given-up',
    at: nowText(app),
    shared: false,
    ratings: [] as PracticeRating[],
  } as const;
  await keep(app, who.seat, evaluation, kept);
  return done(await practiceList(app, who));
};

/** CP-4: the reviewer shows a finished practice to the lead, or takes that back. Nobody else ever sees it. */
export const sharePractice = async (
  app: App,
  who: Practiser,
  { evaluation, share }: { evaluation: string; share: boolean },
): Promise<Outcome<PracticeView>> => {
  const found = await practised(app, who, evaluation);
  if (found?.kept?.state !== 'finished') return notThere();
  const closed = shut(app);
  if (closed) return closed;
  await keep(app, who.seat, evaluation, { ...found.kept, shared: share });
  return practiceView(app, who, evaluation);
};

/** Every finished practice of a seat, oldest first. Who may read them is the caller's to check. */
export const finishedPractices = async (app: App, seat: string): Promise<PracticeComparison[]> => {
  const list: PracticeComparison[] = [];
  for (const [evaluation, kept] of await keptOf(app, seat)) {
    if (kept.state !== 'finished') continue;
    const live = await app.logs.evaluationNow(evaluation);
    const comparison = live?.state.stage === 'locked' ? compared(app, live, kept) : undefined;
    if (comparison) list.push(comparison);
  }
  return list.toSorted((a, b) => a.finishedAt.localeCompare(b.finishedAt));
};
