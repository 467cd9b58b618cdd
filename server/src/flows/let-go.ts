import type { App, LiveEvaluation } from './app.ts';

/** What may still rest on an evaluation in memory, beside its log. */
export interface InUse {
  /** Which evaluation each document belongs to that was opened. */
  homes: Map<string, LiveEvaluation>;
  /** Whether somebody looks at it. */
  watched: (log: string) => boolean;
}

/**
 * LG-3: an evaluation that nobody has asked for, looked at or written to for `LET_GO_AFTER` looks goes out of memory; it
 * is read again from the store when it is asked for. So a server that runs for a season is as large as the panels at
 * work, not as all there ever were. To be called at even intervals; returns how many were let go.
 */
export const letGo = (
  app: Pick<App, 'logs' | 'rooms' | 'insights'>,
  { homes, watched }: InUse,
): Promise<number> => {
  for (const document of homes.keys()) if (!app.rooms.has(document)) homes.delete(document);
  const written = new Set([...homes.values()].map(({ id }) => id));
  return app.logs.letGo(LET_GO_AFTER, (id) => {
    if (written.has(id) || watched(id)) return true;
    app.insights.forget(id);
    return false;
  });
};

/** Looks, half a minute apart. What began before has long ended then: nobody holds the old one any more. */
export const LET_GO_AFTER = 20;
