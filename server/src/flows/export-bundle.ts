import { refused, type Outcome, done } from '@unhindered/shared-types';
import { keyOfNote } from '../audit/key-chain.ts';
import { buildBundle } from '../bundle/build-bundle.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';

/** The bundle of a locked evaluation, for any of its members; the same bytes every time. */
export const exportBundle = async (
  app: App,
  live: LiveEvaluation,
): Promise<Outcome<Uint8Array>> => {
  const { locked, created, seats } = live.state;
  if (!locked || !created) {
    return refused('not-ready-to-lock', 'There is a bundle once the evaluation is locked.');
  }
  const checkpoints = await app.store.checkpoints(live.id);
  // The key as of its last checkpoint: a record that was locked under an earlier key stays the same file.
  const { key, successions } = keyOfNote(app.signer, checkpoints.at(-1) ?? '');
  const people = await app.store.people(created.panel);
  return done(
    buildBundle({
      software: locked.software,
      log: live.id,
      origin: `${app.signer.name}/${live.id}`,
      vkey: key,
      ...(successions.length > 0 ? { successions: [...successions] } : {}),
      events: await app.store.events(live.id),
      checkpoints,
      protocol: protocolOf(app, live.state).text,
      names: people
        .filter((p) => seats.has(p.seat) && p.name !== '')
        .map(({ seat, name, salt }) => ({ seat, name, salt }))
        .toSorted((a, b) => (a.seat < b.seat ? -1 : 1)),
      result: locked.result,
    }),
  );
};
