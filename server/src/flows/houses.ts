import type { Session } from '../ports/store.ts';
import type { Workspaces } from '../ports/workspaces.ts';
import type { App } from './app.ts';
import { codeHash, secretHash } from './secrets.ts';
import { sessionOf } from './sessions.ts';
import type { InvitationKey } from './take-seat.ts';
import type { Tickets } from './tickets.ts';

/** What serves one organisation. */
export interface House {
  app: App;
  tickets: Tickets;
}

/** A session with the organisation it is of. */
export interface Visitor<H extends House = House> {
  house: H;
  session: Session;
}

/**
 * AC-19: an organisation is chosen by what the server itself gave out, a session or an invitation, and by nothing
 * else in a request: no id in it can name another one's things, because they are not looked for there.
 */
export interface Houses<H extends House = House> {
  bySession(token: string | undefined): Promise<Visitor<H> | undefined>;
  byKey(key: InvitationKey): Promise<H>;
  /** By the name the operator gave it; empty for the one a store begins with. */
  byName(name: string): Promise<H | undefined>;
  all(): H[];
}

const visitorOf = async <H extends House>(
  house: H | undefined,
  token: string | undefined,
): Promise<Visitor<H> | undefined> => {
  const session = house && (await sessionOf(house.app, token));
  return house && session && { house, session };
};

/** A server with one organisation. */
export const oneHouse = <H extends House>(house: H): Houses<H> => ({
  bySession: (token) => visitorOf(house, token),
  byKey: () => Promise.resolve(house),
  byName: (name) => Promise.resolve(name === '' ? house : undefined),
  all: () => [house],
});

/**
 * A server with several. `find` gives the one of a workspace id, also one that another process on the store has just
 * added; `first` answers where nobody is known; `all` are those open here.
 */
export const severalHouses = <H extends House>(
  workspaces: Workspaces,
  find: (workspace: string) => Promise<H | undefined>,
  first: H,
  all: () => H[],
): Houses<H> => ({
  bySession: async (token) => {
    if (token === undefined || token.length > 100) return undefined;
    const id = await workspaces.ofSession(secretHash(token));
    return id === undefined ? undefined : visitorOf(await find(id), token);
  },
  byKey: async (key) => {
    const by = 'secret' in key ? { secret: secretHash(key.secret) } : { code: codeHash(key.code) };
    const id = await workspaces.ofInvitation(by);
    return (id === undefined ? undefined : await find(id)) ?? first;
  },
  byName: async (name) => {
    const same = (other: string): boolean => other.toLowerCase() === name.toLowerCase();
    const known = (await workspaces.all()).find((w) => same(w.name));
    return known && find(known.id);
  },
  all,
});
