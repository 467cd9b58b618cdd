import {
  done,
  LEARN_FROM,
  refused,
  reject,
  type LearnedEvaluation,
  type Outcome,
  type ProtocolLearning,
  type Rejection,
  type ReviewerLearning,
} from '@unhindered/shared-types';
import { protocolItems } from '../comparison/protocol-items.ts';
import { recordState } from '../evaluation/catalogue-entry.ts';
import { ratingTable } from '../evaluation/rating-table.ts';
import { settledValue } from '../evaluation/settled-value.ts';
import { allStandings } from '../evaluation/standing.ts';
import type { Session } from '../ports/store.ts';
import { nameOf, protocolKey, protocolOf, type App, type LiveEvaluation } from './app.ts';
import { finishedPractices } from './practice.ts';
import { catalogueRefusal } from './publication.ts';

const NO_PAGE = 'There is no such page for you.';

const isLead = (session: Session): boolean =>
  session.arrival === 'admitted' && session.seat === null;

const learned = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
): Promise<LearnedEvaluation | undefined> => {
  const { state } = live;
  const { created, locked } = state;
  if (!created || !locked) return undefined;
  const { protocol } = protocolOf(app, state);
  const standings = allStandings(state, protocol);
  const table = ratingTable(state, protocol, standings, false);
  if (!table.reviewers.includes(seat)) return undefined;
  const settled = standings.map((s) => settledValue(state, s) ?? null);
  const { min, max, better } = protocol.scale;
  return {
    evaluation: live.id,
    title: created.title,
    lockedAt: locked.at,
    protocol: { id: protocol.id, version: protocol.version, title: protocol.title },
    scale: { min, max, better },
    state: recordState(state).kind,
    paper: state.paper !== null,
    ...(await app.learning.ask({ table, settled, seat })),
  };
};

/**
 * LE-2: a reviewer's page is for that reviewer and the lead alone; anybody else is told the same as for one that does not
 * exist. It opens to the reviewer with their round, like the catalogue. From locked evaluations of the panel that were
 * not withdrawn.
 */
export const reviewerLearning = async (
  app: App,
  session: Session,
  panelId: string,
  seatId: string,
): Promise<Outcome<ReviewerLearning>> => {
  const own =
    session.arrival === 'admitted' && session.seat === seatId && session.panel === panelId;
  const panel = own || isLead(session) ? await app.logs.panelNow(panelId) : undefined;
  const seat = panel?.state.seats.get(seatId);
  if (!panel || seat?.role !== 'reviewer' || (own && seat.state !== 'taken')) {
    return refused('unknown-thing', NO_PAGE);
  }
  const sealed = await catalogueRefusal(app, session);
  if (sealed) return { ok: false, rejection: sealed };
  for (const person of await app.store.people(panelId)) app.names.set(person.seat, person);
  const evaluations: LearnedEvaluation[] = [];
  let [without, withdrawn] = [0, 0];
  for (const { evaluation } of panel.state.evaluations) {
    const live = await app.logs.evaluationNow(evaluation);
    if (!live?.state.locked) continue;
    if (live.state.stage === 'withdrawn') {
      withdrawn += 1;
      continue;
    }
    const found = await learned(app, live, seatId);
    if (found) evaluations.push(found);
    else without += 1;
  }
  const practices = await finishedPractices(app, seatId);
  return done({
    panel: panelId,
    panelTitle: panel.state.title,
    seat: seatId,
    letter: seat.letter,
    name: nameOf(app, seatId),
    own,
    evaluations: evaluations.toSorted((a, b) => a.lockedAt.localeCompare(b.lockedAt)),
    without,
    withdrawn,
    practices: practices.filter((p) => own || p.shared),
  });
};

/** Why a session may not read how protocols do; undefined for the lead and for moderators. */
export const protocolPageRefusal = async (
  app: App,
  session: Session,
): Promise<Rejection | undefined> => {
  if (isLead(session)) return undefined;
  const panel = await app.logs.panelNow(session.panel ?? '');
  const seat = panel?.state.seats.get(session.seat ?? '');
  const moderates =
    session.arrival === 'admitted' && seat?.state === 'taken' && seat.role === 'moderator';
  return moderates
    ? undefined
    : reject('role-may-not', 'This page is for moderators and the lead.');
};

/**
 * LE-4: how a protocol version does over the workspace's locked evaluations. With fewer than three of them only their number is
 * told, so that no panel's ratings can be read from it.
 */
export const protocolLearning = async (
  app: App,
  which: { id: string; version: string },
): Promise<Outcome<ProtocolLearning>> => {
  const published = app.protocols.get(protocolKey(which));
  if (!published) return refused('unknown-thing', 'There is no such protocol version.');
  const { protocol, hash } = published;
  const all = (await app.catalogue.all(app)).map((e) => e.row);
  const ours = all.filter((e) => e.protocolHash === hash && e.state.kind !== 'withdrawn');
  const { id, version, title, invented } = protocol;
  const { min, max } = protocol.scale;
  const made = protocolItems(protocol, ours);
  const few = ours.length < LEARN_FROM;
  return done({
    protocol: { id, version, title, hash, invented },
    scale: { min, max },
    ...made,
    ...(few ? { tasks: [], unused: [], ratings: 0 } : {}),
  });
};

/** The protocol versions of the workspace. */
export const protocolVersions = (app: App): { id: string; version: string; title: string }[] =>
  [...app.protocols.values()].map(({ protocol: { id, version, title } }) => ({
    id,
    version,
    title,
  }));
