/** One organisation on this server. */
export interface Workspace {
  id: string;
  /** As the operator named it; empty for the one a store begins with. */
  name: string;
}

/**
 * Which organisations share the store, and whose a session or an invitation is: the only questions that are asked
 * across them.
 */
export interface Workspaces {
  all(): Promise<Workspace[]>;
  add(workspace: Workspace, at: string): Promise<void>;
  ofSession(id: string): Promise<string | undefined>;
  ofInvitation(by: { secret: string } | { code: string }): Promise<string | undefined>;
}
