/** Screens beyond joining and rating; each is loaded when it is first opened. */
export const load = {
  home: () => import('./screens/Home.svelte'),
  signIn: () => import('./screens/SignIn.svelte'),
  panel: () => import('./screens/Panel.svelte'),
  desk: () => import('./screens/Desk.svelte'),
  wall: () => import('./screens/Wall.svelte'),
  trials: () => import('./screens/Trials.svelte'),
  media: () => import('./screens/Media.svelte'),
  record: () => import('./screens/Record.svelte'),
  follow: () => import('./screens/Follow.svelte'),
  catalogue: () => import('./screens/Catalogue.svelte'),
  compare: () => import('./screens/Compare.svelte'),
  specimens: () => import('./screens/Specimens.svelte'),
  specimen: () => import('./screens/Specimen.svelte'),
  protocols: () => import('./screens/Protocols.svelte'),
  fit: () => import('./screens/Fit.svelte'),
  card: () => import('./screens/Card.svelte'),
  public: () => import('./screens/Public.svelte'),
  publish: () => import('./screens/Publish.svelte'),
};
export type LaterScreen = keyof typeof load;
