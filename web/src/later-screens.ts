import type { Route } from './route.ts';

/** Screens beyond joining and rating; each is loaded when it is first opened. */
export const LATER: readonly Route[] = [
  { path: '/', load: () => import('./screens/Home.svelte') },
  { path: '/sign-in', open: true, load: () => import('./screens/SignIn.svelte') },
  { path: '/catalogue', load: () => import('./screens/Catalogue.svelte') },
  { path: '/compare', load: () => import('./screens/Compare.svelte') },
  { path: '/protocols', load: () => import('./screens/ProtocolPage.svelte') },
  { path: '/practice', load: () => import('./screens/Practices.svelte') },
  { path: '/practice/:evaluation', load: () => import('./screens/Practice.svelte') },
  { path: '/panel/:panel/learning/:seat', load: () => import('./screens/Learning.svelte') },
  { path: '/specimens', load: () => import('./screens/Specimens.svelte') },
  { path: '/specimen/:specimen', load: () => import('./screens/Specimen.svelte') },
  { path: '/card/:evaluation', load: () => import('./screens/Card.svelte') },
  { path: '/public', open: true, load: () => import('./screens/Public.svelte') },
  { path: '/panel/:panel', load: () => import('./screens/Panel.svelte') },
  { path: '/evaluation/:evaluation/desk', load: () => import('./screens/Desk.svelte') },
  { path: '/evaluation/:evaluation/wall', load: () => import('./screens/Wall.svelte') },
  { path: '/evaluation/:evaluation/trials', load: () => import('./screens/Trials.svelte') },
  { path: '/evaluation/:evaluation/fit', load: () => import('./screens/Fit.svelte') },
  { path: '/evaluation/:evaluation/media', load: () => import('./screens/Media.svelte') },
  { path: '/evaluation/:evaluation/paper', load: () => import('./screens/Paper.svelte') },
  { path: '/evaluation/:evaluation/record', load: () => import('./screens/Record.svelte') },
  { path: '/evaluation/:evaluation/publish', load: () => import('./screens/Publish.svelte') },
  { path: '/evaluation/:evaluation', load: () => import('./screens/Follow.svelte') },
];
