import type { DoubtSlice, Witness, WitnessMessage } from '@unhindered/shared-types';
import { keyOfNote, keysOf, openCheckpointBy } from '../audit/key-chain.ts';
import { consistencyProof, leafHash } from '../audit/merkle.ts';
import { nowText, type App, type Identity, type LiveEvaluation } from './app.ts';

/**
 * WI-2: the newest checkpoint with the proof that the log goes on from the size a device names; nothing to prove
 * from size 0. No proof (null) when the device names more events than are signed: the log was cut back. KR-1: where the
 * key that signed it took over from others, their notes come with it.
 */
export const witnessOf = async (
  app: App,
  live: LiveEvaluation,
  seen: number,
): Promise<Witness | null> => {
  const { note, covered, id } = live;
  if (note === null) return null;
  const { key, successions } = keyOfNote(app.signer, note);
  const by = successions.length > 0 ? { key, successions: [...successions] } : { key };
  if (seen > covered) return { ...by, note, proof: null };
  if (seen === 0 || seen === covered) return { ...by, note, proof: [] };
  const texts = await app.store.events(id);
  const leaves = texts.slice(0, covered).map((text) => leafHash(text));
  const proof = consistencyProof(leaves, seen).map((node) => Buffer.from(node).toString('hex'));
  return { ...by, note, proof };
};

/**
 * Takes a device's word that it does not believe the log. A checkpoint that this server's key never signed proves
 * nothing, unless the fault is the key itself. Returns whether it was taken.
 */
export const takeDoubt = (app: App, who: Identity, message: WitnessMessage): boolean => {
  const kept = openCheckpointBy(message.kept, keysOf(app.signer));
  const about = kept.ok && kept.checkpoint.origin.endsWith(`/${message.evaluation}`);
  if (message.fault !== 'signature' && !about) return false;
  const doubts = app.doubts.get(message.evaluation) ?? new Map<string, DoubtSlice>();
  const known = doubts.get(who.seat);
  doubts.set(who.seat, { seat: who.seat, fault: message.fault, at: known?.at ?? nowText(app) });
  app.doubts.set(message.evaluation, doubts);
  if (!known) app.changed(message.evaluation);
  return true;
};
