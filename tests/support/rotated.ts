import { keysOf, signSuccession, type Signer } from '../../server/src/audit/key-chain.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import type { App } from '../../server/src/flows/app.ts';
import { Logs } from '../../server/src/flows/logs.ts';

/** The signer that takes over from this one, under a seed of this byte. */
export const takingOver = (from: Signer, byte: number): Signer => {
  const next = { name: from.name, seed: new Uint8Array(32).fill(byte) };
  const note = signSuccession(from, verifierKey(next));
  return { ...next, successions: [...(from.successions ?? []), note] };
};

/** Goes on with another signer, as after a start: nothing of before is in memory. */
export const goOnWith = (app: App, signer: Signer): void => {
  app.signer = signer;
  app.logs = new Logs(app.store, keysOf(signer));
};
