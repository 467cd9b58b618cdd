import { parse } from 'regexparam';
import type { Route } from './route.ts';

export type { ScreenProps } from './route.ts';

/** Joining, waiting and rating: what a phone at the door needs. */
const FIRST: readonly Route[] = [
  { path: '/join', open: true, load: () => import('./screens/Arrive.svelte') },
  { path: '/waiting', open: true, load: () => import('./screens/Waiting.svelte') },
  { path: '/evaluation/:evaluation/sheet', load: () => import('./screens/Sheet.svelte') },
];

interface Match {
  route: Route;
  params: Record<string, string>;
}

const matchIn = (routes: readonly Route[], path: string): Match | undefined => {
  for (const route of routes) {
    const { keys, pattern } = parse(route.path);
    const match = pattern.exec(path);
    if (match)
      return { route, params: Object.fromEntries(keys.map((k, i) => [k, match[i + 1] ?? ''])) };
  }
  return undefined;
};

/**
 * The route of an address with its parameters; undefined when there is none. The addresses of all screens beyond the first
 * come with them, so that a phone at the door loads less.
 */
export const matchRoute = async (path: string): Promise<Match | undefined> =>
  matchIn(FIRST, path) ?? matchIn((await import('./later-screens.ts')).LATER, path);
