import { parse } from 'regexparam';
import type { Component } from 'svelte';
import type { Connection } from './state/connection.svelte.ts';
import type { LaterScreen } from './later-screens.ts';
import type { Session } from './state/session.svelte.ts';

/** What every screen gets. */
export interface ScreenProps {
  session: Session;
  connection: Connection | null;
  params: Record<string, string>;
  go: (path: string) => void;
}

interface Route {
  path: string;
  /** Open to people who are not signed in. */
  open?: true;
  load: () => Promise<{ default: Component<ScreenProps> }>;
}

/** A screen beyond joining and rating: the names of its parts come with it, so that a phone at the door loads less. */
const later = (path: string, screen: LaterScreen): Route => ({
  path,
  load: async () => (await import('./later-screens.ts')).load[screen](),
});

/** Address to screen; every screen is loaded when it is first opened. */
export const ROUTES: readonly Route[] = [
  later('/', 'home'),
  { ...later('/sign-in', 'signIn'), open: true },
  { path: '/join', open: true, load: () => import('./screens/Arrive.svelte') },
  later('/catalogue', 'catalogue'),
  later('/compare', 'compare'),
  later('/specimens', 'specimens'),
  later('/specimen/:specimen', 'specimen'),
  later('/protocols/:id?/:version?', 'protocols'),
  later('/evaluation/:evaluation/fit', 'fit'),
  later('/card/:evaluation', 'card'),
  { ...later('/public', 'public'), open: true },
  later('/evaluation/:evaluation/publish', 'publish'),
  { path: '/waiting', open: true, load: () => import('./screens/Waiting.svelte') },
  later('/panel/:panel', 'panel'),
  { path: '/evaluation/:evaluation/sheet', load: () => import('./screens/Sheet.svelte') },
  later('/evaluation/:evaluation/desk', 'desk'),
  later('/evaluation/:evaluation/wall', 'wall'),
  later('/evaluation/:evaluation/trials', 'trials'),
  later('/evaluation/:evaluation/media', 'media'),
  later('/evaluation/:evaluation/record', 'record'),
  later('/evaluation/:evaluation', 'follow'),
];

const patterns = ROUTES.map((route) => ({ route, ...parse(route.path) }));

/** The route of an address with its parameters; undefined when there is none. */
export const matchRoute = (
  path: string,
): { route: Route; params: Record<string, string> } | undefined => {
  for (const { route, keys, pattern } of patterns) {
    const match = pattern.exec(path);
    if (!match) continue;
    return { route, params: Object.fromEntries(keys.map((k, i) => [k, match[i + 1] ?? ''])) };
  }
  return undefined;
};
