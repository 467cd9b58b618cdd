import type { Bus } from '../ports/bus.ts';
import type { App } from './app.ts';
import { learnProtocols } from './published-protocols.ts';
import type { UnderWay } from './under-way.ts';
import { showPublished } from './workshop.ts';

/** What of this process must follow when another one changed something. */
export interface Followers {
  changed: App['changed'];
  ended: App['ended'];
  online: (seats: readonly string[], from: string) => void;
}

/** What is made from a log is made again at the next question, whether this process has the log in memory or not. */
const outdate = (app: App, id: string): void => {
  app.catalogue.changed(id);
  app.links.changed(id);
};

/** Reads a log of this process again, with the names of its panel, and shows what is new. */
const followLog = async (app: App, id: string, followers: Followers): Promise<void> => {
  // Another process published a protocol, or works on a draft that nobody here has in memory.
  if (id.startsWith('pt_')) await showPublished({ ...app, changed: followers.changed });
  const live = await app.logs.known(id);
  if (!live) return;
  const before = { size: live.size, note: live.note };
  await app.logs.follow(live);
  if (live.size === before.size && live.note === before.note) return;
  if (live.size > before.size) outdate(app, id);
  if (id.startsWith('pn_')) {
    for (const person of await app.store.people(id)) app.names.set(person.seat, person);
  }
  followers.changed(id);
};

/** Sizes of all logs as they were last looked at, to find those that another process changed. */
export type Sizes = Map<string, number>;

export const sizesOf = async (app: App): Promise<Sizes> =>
  new Map((await app.store.logs()).map(({ log, size }) => [log, size]));

/** Looks at all logs of the store for what another process changed, those that are not in memory included. */
export const followSizes = async (app: App, known: Sizes): Promise<void> => {
  for (const [log, size] of await sizesOf(app)) {
    if (known.get(log) !== size) outdate(app, log);
    if (known.get(log) !== size && log.startsWith('pt_')) await learnProtocols(app);
    known.set(log, size);
  }
};

/** Reads again everything that is in memory: after notices may have been missed. */
export const followAll = async (app: App, followers: Followers): Promise<void> => {
  for (const { id } of await app.logs.live()) await followLog(app, id, followers);
  for (const document of app.rooms.documents) await app.rooms.follow(document);
};

/**
 * BU-2: keeps this process beside the others on one store: hears what they changed and reads it there, and tells them
 * what was changed here. A notice carries no content: nothing sealed ever leaves the store this way.
 */
export const followOthers = (
  app: App,
  workspace: string,
  bus: Bus,
  followers: Followers,
  work: UnderWay,
): void => {
  const reading = (read: () => Promise<void>): void =>
    work.begin('another process could not be followed', read);
  const heard = async (id: string): Promise<void> => {
    await followLog(app, id, followers);
    outdate(app, id);
  };
  bus.onNotice(workspace, (notice, from) => {
    if (notice.kind === 'log') reading(() => heard(notice.log));
    else if (notice.kind === 'documents') reading(() => app.rooms.hear(notice.written));
    else if (notice.kind === 'ended') followers.ended(notice.sessions, notice.why);
    else followers.online(notice.seats, from);
  });
  bus.onGap(() => reading(() => followAll(app, followers)));
  app.changed = (id) => {
    followers.changed(id);
    bus.tell(workspace, { kind: 'log', log: id });
  };
  app.ended = (sessions, why) => {
    followers.ended(sessions, why);
    bus.tell(workspace, { kind: 'ended', sessions, why });
  };
  app.wrote = (written) => bus.tell(workspace, { kind: 'documents', written });
};
