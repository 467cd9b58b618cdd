/** Screens beyond joining and rating; each is loaded when it is first opened. */
export const load = {
  desk: () => import('./screens/Desk.svelte'),
  wall: () => import('./screens/Wall.svelte'),
  trials: () => import('./screens/Trials.svelte'),
  record: () => import('./screens/Record.svelte'),
  follow: () => import('./screens/Follow.svelte'),
  catalogue: () => import('./screens/Catalogue.svelte'),
  compare: () => import('./screens/Compare.svelte'),
  card: () => import('./screens/Card.svelte'),
  public: () => import('./screens/Public.svelte'),
  publish: () => import('./screens/Publish.svelte'),
};
export type LaterScreen = keyof typeof load;
