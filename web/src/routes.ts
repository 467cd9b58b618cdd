import { parse } from 'regexparam';
import type { Component } from 'svelte';
import type { Connection } from './state/connection.svelte.ts';
import type { Session } from './state/session.svelte.ts';

/** What every screen gets. */
export interface ScreenProps {
  session: Session;
  connection: Connection | null;
  params: Record<string, string>;
  go: (path: string) => void;
}

/** An address and its screen, which is loaded when it is first opened. */
export interface Route {
  path: string;
  /** Open to people who are not signed in. */
  open?: true;
  load: () => Promise<{ default: Component<ScreenProps> }>;
}

/** Joining and rating. All other addresses are in `later-screens.ts`: a phone at the door loads none of them. */
const NEAR: readonly Route[] = [
  { path: '/join', open: true, load: () => import('./screens/Arrive.svelte') },
  { path: '/waiting', open: true, load: () => import('./screens/Waiting.svelte') },
  { path: '/evaluation/:evaluation/sheet', load: () => import('./screens/Sheet.svelte') },
];

interface Found {
  route: Route;
  params: Record<string, string>;
}

const among = (routes: readonly Route[], path: string): Found | undefined => {
  for (const route of routes) {
    const { keys, pattern } = parse(route.path);
    const match = pattern.exec(path);
    if (!match) continue;
    return { route, params: Object.fromEntries(keys.map((k, i) => [k, match[i + 1] ?? ''])) };
  }
  return undefined;
};

/** The route of an address with its parameters; undefined when there is none. */
export const findRoute = async (path: string): Promise<Found | undefined> =>
  among(NEAR, path) ?? among((await import('./later-screens.ts')).LATER, path);
