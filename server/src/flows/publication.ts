import {
  done,
  refused,
  reject,
  type CardAnswer,
  type Outcome,
  type PublicAnswer,
  type PublicationAnswer,
  type Rejection,
} from '@unhindered/shared-types';
import { modelKey } from '../comparison/piece.ts';
import { cardTrials } from '../evaluation/card-trials.ts';
import { careCard } from '../evaluation/care-card.ts';
import { recordState } from '../evaluation/catalogue-entry.ts';
import { publicRecord } from '../evaluation/public-record.ts';
import type { SuccessorShown } from '../evaluation/published.ts';
import { currentRound, isCatchingUp } from '../evaluation/state.ts';
import type { Session } from '../ports/store.ts';
import { protocolOf, type App, type Identity, type LiveEvaluation } from './app.ts';
import { practiceRefusal } from './practice.ts';
import { identityIn } from './sessions.ts';

const NOT_LOCKED = 'There is no such record: only a locked evaluation has one.';

/** Others that could take a record's place, as many as a list shows. */
const SUCCESSORS = 50;

/** Whether a seat has a sheet out that nobody has read yet. */
const ratesSealed = async (app: App, evaluation: string, seat: string): Promise<boolean> => {
  const state = (await app.logs.evaluationNow(evaluation))?.state;
  if (!state) return false;
  const running = state.stage === 'sealed' && currentRound(state)?.sheets.has(seat) === true;
  return running || isCatchingUp(state, seat);
};

/**
 * CA-7: whoever is signed in reads the catalogue and its cards, whose lines hold published figures and no rating of
 * anybody. Not the wall, which shows one evaluation; and not a reviewer while their own sheet is sealed, so that what
 * other panels found does not lean on it. Undefined when the session may.
 */
export const sealedRefusal = async (app: App, session: Session): Promise<Rejection | undefined> => {
  if (session.panel === null || session.seat === null) return undefined;
  const panel = await app.logs.panelNow(session.panel);
  const seat = panel?.state.seats.get(session.seat);
  if (!panel || seat?.state !== 'taken' || seat.role === 'wall') {
    return reject('role-may-not', 'The wall does not show the catalogue.');
  }
  if (seat.role !== 'reviewer') return undefined;
  for (const { evaluation } of panel.state.evaluations) {
    if (await ratesSealed(app, evaluation, seat.seat)) {
      return reject(
        'round-sealed',
        'The catalogue opens to you with your round: what other panels found must not lean on your ratings.',
      );
    }
  }
  return undefined;
};

/** CA-7, CP-2: as above, and not a reviewer who practises on a locked evaluation. Undefined when the session may. */
export const catalogueRefusal = async (
  app: App,
  session: Session,
): Promise<Rejection | undefined> =>
  (await sealedRefusal(app, session)) ?? (await practiceRefusal(app, session.seat));

const successorOf = async (app: App, live: LiveEvaluation): Promise<SuccessorShown> => {
  const by = live.state.supersededBy?.evaluation;
  const state = by === undefined ? undefined : (await app.logs.evaluation(by))?.state;
  if (!state?.created || !state.locked) return null;
  return {
    title: state.created.title,
    lockedAt: state.locked.at,
    withdrawn: state.stage === 'withdrawn',
  };
};

const cardOf = async (app: App, live: LiveEvaluation): Promise<CardAnswer | undefined> => {
  const { protocol } = protocolOf(app, live.state);
  return careCard(
    live.state,
    protocol,
    await successorOf(app, live),
    cardTrials(live.state, protocol),
  );
};

/** The care card of a locked evaluation, for people of the workspace. */
export const careCardOf = async (app: App, evaluation: string): Promise<Outcome<CardAnswer>> => {
  const live = await app.logs.evaluationNow(evaluation);
  const card = live && (await cardOf(app, live));
  return card ? done(card) : refused('unknown-thing', NOT_LOCKED);
};

const recordOf = async (
  app: App,
  live: LiveEvaluation,
  names: boolean,
): Promise<PublicAnswer | undefined> => {
  const people = names ? await app.store.people(live.state.created?.panel ?? '') : [];
  const byName = new Map(people.map((p) => [p.seat, p.name]));
  return publicRecord(live.state, {
    protocol: protocolOf(app, live.state).protocol,
    successor: await successorOf(app, live),
    name: (seat) => byName.get(seat) || null,
    head: { root: Buffer.from(live.root).toString('hex'), size: live.size },
  });
};

/**
 * PU-3: a link that was made keeps answering for as long as it stands, with what became of the record; an ended link
 * says that it has ended, and one that never was says that it leads nowhere.
 */
export const lookPublic = async (app: App, secret: string): Promise<Outcome<PublicAnswer>> => {
  const found = await app.links.find(app, secret);
  if (!found)
    return refused('unknown-thing', 'This link leads nowhere. Check it, or ask for it again.');
  const { evaluation, what, names, ended } = found.link;
  if (ended) return refused('link-ended', 'The panel has ended this link.');
  const live = await app.logs.evaluationNow(evaluation);
  const page =
    live && (what === 'card' ? await cardOf(app, live) : await recordOf(app, live, names));
  return page ? done(page) : refused('unknown-thing', NOT_LOCKED);
};

/** The moderator's seat that a session has in an evaluation's panel. */
const moderatorOf = async (
  app: App,
  session: Session,
  live: LiveEvaluation,
): Promise<Identity | undefined> => {
  const identity = await identityIn(app, session, live.state.created?.panel ?? '');
  const seat = identity && live.state.seats.get(identity.seat);
  return seat?.role === 'moderator' && !seat.revoked ? identity : undefined;
};

/** What a moderator sees of a record's life after the lock. */
export const publicationOf = async (
  app: App,
  session: Session,
  evaluation: string,
): Promise<Outcome<PublicationAnswer>> => {
  const live = await app.logs.evaluationNow(evaluation);
  const { created, locked } = live?.state ?? {};
  if (!live || !created || !locked || !(await moderatorOf(app, session, live))) {
    return refused('unknown-thing', 'There is no locked evaluation here that you moderate.');
  }
  const all = (await app.catalogue.all(app)).map((entry) => entry.row);
  const own = all.find((e) => e.evaluation === evaluation);
  const model = own && modelKey(own);
  const successors = all
    .filter((e) => e.lockedAt > locked.at && e.state.kind === 'current')
    .map((e) => ({
      evaluation: e.evaluation,
      title: e.title,
      lockedAt: e.lockedAt,
      sameModel: modelKey(e) === model,
    }))
    .toSorted((a, b) =>
      a.sameModel === b.sameModel
        ? b.lockedAt.localeCompare(a.lockedAt)
        : Number(b.sameModel) - Number(a.sameModel),
    )
    .slice(0, SUCCESSORS);
  const panel = await app.logs.panelNow(created.panel);
  return done({
    evaluation,
    panel: created.panel,
    title: created.title,
    model: `${created.specimen.maker} ${created.specimen.model}`,
    state: recordState(live.state),
    links: [...(panel?.state.links.values() ?? [])]
      .filter((l) => l.evaluation === evaluation)
      .map(({ link, what, names, madeAt, ended }) => ({ link, what, names, madeAt, ended })),
    successors,
  });
};
