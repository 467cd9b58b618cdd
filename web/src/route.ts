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

/** An address and the screen that it opens. */
export interface Route {
  path: string;
  /** Open to people who are not signed in. */
  open?: true;
  load: () => Promise<{ default: Component<ScreenProps> }>;
}
