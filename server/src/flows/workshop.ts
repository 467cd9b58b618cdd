import {
  done,
  reject,
  type CommandAnswer,
  type CommandMessage,
  type Rejection,
  type Role,
  type WorkshopCommand,
} from '@unhindered/shared-types';
import type { Session } from '../ports/store.ts';
import { decideWorkshop } from '../protocol/workshop.ts';
import { nameOf, type App } from './app.ts';
import { makeChange, type Change } from './change.ts';
import type { LiveWorkshop } from './live-log.ts';
import { learnProtocols } from './published-protocols.ts';
import { earlierAnswer, keptAnswer } from './replay.ts';
import { identityIn } from './sessions.ts';

const LEAD = 'lead';

/**
 * The log of the workspace's protocols. Before its first event its id follows from the panels there are, so that two
 * processes on one store begin the same one; a workspace without a panel is the lead's alone.
 */
export const workshopOf = async (app: App): Promise<LiveWorkshop> => {
  const logs = (await app.store.logs()).map(({ log }) => log).toSorted();
  const known = logs.find((log) => log.startsWith('pt_'));
  const first = logs.find((log) => log.startsWith('sy_') || log.startsWith('pn_'));
  return app.logs.workshop(known ?? `pt_${(first ?? app.ids.id('pn')).slice('pn_'.length)}`);
};

/** What a session is in this workspace: the lead, a role in its panel, or nothing. */
const standingOf = async (app: App, session: Session): Promise<Role | 'lead' | undefined> => {
  if (session.panel === null) return session.arrival === 'admitted' ? LEAD : undefined;
  const panel = await app.logs.panelNow(session.panel);
  const identity = panel && (await identityIn(app, session, session.panel));
  const seat = panel?.state.seats.get(identity?.seat ?? '');
  return seat?.state === 'taken' ? seat.role : undefined;
};

/** Why a session may not look through the published versions; undefined for everybody with a seat but the wall. */
export const protocolsRefusal = async (
  app: App,
  session: Session,
): Promise<Rejection | undefined> => {
  const standing = await standingOf(app, session);
  return standing !== undefined && standing !== 'wall'
    ? undefined
    : reject('role-may-not', 'Protocols are listed for people with a seat.');
};

/** PR-11: drafts are the lead's and the moderators' to see, write and publish. */
export const workshopRefusal = async (
  app: App,
  session: Session,
): Promise<Rejection | undefined> => {
  const standing = await standingOf(app, session);
  return standing === LEAD || standing === 'moderator'
    ? undefined
    : reject('role-may-not', 'The lead and moderators write protocols.');
};

/** Names of those who worked on drafts, read for all panels when one of them is not known yet. */
export const namesFor = async (
  app: App,
  actors: readonly string[],
): Promise<(actor: string) => string> => {
  if (actors.some((actor) => actor !== LEAD && !app.names.has(actor))) {
    for (const { log } of await app.store.logs()) {
      if (!log.startsWith('pn_')) continue;
      for (const person of await app.store.people(log)) app.names.set(person.seat, person);
    }
  }
  return (actor) => (actor === LEAD ? 'The lead' : nameOf(app, actor));
};

type Message = Extract<CommandMessage, { on: 'workspace' }> & { command: WorkshopCommand };

const decideOn = async (
  app: App,
  workshop: LiveWorkshop,
  actor: string,
  message: Message,
): Promise<Change<CommandAnswer>> => {
  const earlier = await earlierAnswer(app, actor, message);
  if (earlier) return { events: [], value: earlier };
  const actors = [...workshop.state.drafts.values()].map((d) => d.savedBy);
  const decided = decideWorkshop(workshop.state, message.command, {
    draft: app.ids.id('pd'),
    published: [...app.protocols.values()].map((p) => p.protocol),
    nameOf: await namesFor(app, actors),
  });
  if (!decided.ok) return { events: [], value: decided };
  const { events, draft, revision, published } = decided.value;
  const result = published
    ? { kind: 'protocol' as const, id: published.protocol.id, ...versionOf(published) }
    : { kind: 'draft' as const, draft, revision };
  const value: CommandAnswer = { ok: true, seq: workshop.size + events.length, result };
  const rows = published
    ? { protocols: [{ id: published.protocol.id, ...versionOf(published), text: published.text }] }
    : {};
  return {
    events: [{ log: workshop.id, events }],
    batch: { ...rows, answers: [keptAnswer(actor, message, value)] },
    value,
  };
};

const versionOf = (p: { protocol: { version: string }; hash: string }) => ({
  version: p.protocol.version,
  hash: p.hash,
});

/** A version that was just published is known here, and every panel's choice shows it. */
export const showPublished = async (app: App): Promise<void> => {
  await learnProtocols(app);
  for (const { id } of await app.logs.live()) if (id.startsWith('pn_')) app.changed(id);
};

/** Runs one command of the lead or a moderator on the workspace's protocols. */
export const runWorkshopCommand = async (
  app: App,
  session: Session,
  message: Message,
): Promise<CommandAnswer> => {
  const refusal = await workshopRefusal(app, session);
  if (refusal) return { ok: false, rejection: refusal };
  const workshop = await workshopOf(app);
  const actor = session.seat ?? LEAD;
  const provenance = {
    clientAt: message.clientAt,
    actor,
    role: session.seat === null ? LEAD : 'moderator',
    device: session.device,
    cmd: message.id,
  };
  const outcome = await makeChange(app, [workshop.id], provenance, async () => {
    if (app.shared) await learnProtocols(app);
    return done(await decideOn(app, workshop, actor, message));
  });
  if (!outcome.ok) return outcome;
  if (message.command.type === 'publish-draft' && outcome.value.ok) await showPublished(app);
  return outcome.value;
};
