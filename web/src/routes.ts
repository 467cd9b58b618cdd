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

interface Route {
  path: string;
  /** Open to people who are not signed in. */
  open?: true;
  load: () => Promise<{ default: Component<ScreenProps> }>;
}

/** Address to screen; every screen is loaded when it is first opened. */
export const ROUTES: readonly Route[] = [
  { path: '/', load: () => import('./screens/Home.svelte') },
  { path: '/sign-in', open: true, load: () => import('./screens/SignIn.svelte') },
  { path: '/join', open: true, load: () => import('./screens/Arrive.svelte') },
  { path: '/catalogue', load: () => import('./screens/Catalogue.svelte') },
  { path: '/compare', load: () => import('./screens/Compare.svelte') },
  { path: '/card/:evaluation', load: () => import('./screens/Card.svelte') },
  { path: '/public', open: true, load: () => import('./screens/Public.svelte') },
  { path: '/evaluation/:evaluation/publish', load: () => import('./screens/Publish.svelte') },
  { path: '/panel/:panel', load: () => import('./screens/Panel.svelte') },
  { path: '/evaluation/:evaluation/sheet', load: () => import('./screens/Sheet.svelte') },
  { path: '/evaluation/:evaluation/desk', load: () => import('./screens/Desk.svelte') },
  { path: '/evaluation/:evaluation/wall', load: () => import('./screens/Wall.svelte') },
  { path: '/evaluation/:evaluation/record', load: () => import('./screens/Record.svelte') },
  { path: '/evaluation/:evaluation', load: () => import('./screens/Follow.svelte') },
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
