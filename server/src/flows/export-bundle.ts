import { refused, type Outcome, done } from '@unhindered/shared-types';
import { verifierKey } from '../audit/signed-note.ts';
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
  const people = await app.store.people(created.panel);
  return done(
    buildBundle({
      software: locked.software,
      log: live.id,
      origin: `${app.signer.name}/${live.id}`,
      vkey: verifierKey(app.signer),
      events: await app.store.events(live.id),
      checkpoints: await app.store.checkpoints(live.id),
      protocol: protocolOf(app, live.state).text,
      names: people
        .filter((p) => seats.has(p.seat) && p.name !== '')
        .map(({ seat, name, salt }) => ({ seat, name, salt }))
        .toSorted((a, b) => (a.seat < b.seat ? -1 : 1)),
      result: locked.result,
    }),
  );
};
