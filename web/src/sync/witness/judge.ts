import type { Witness, WitnessFault } from '@unhindered/shared-types';
import { continues } from './consistency.ts';
import { openHead, openSuccession } from './signed-head.ts';

/** What a device keeps of a log: the newest checkpoint it has checked, and the key it first met. */
export interface Kept {
  key: string;
  note: string;
  /** Events it covers. */
  size: number;
}

export type Judgement = { ok: true; keep: Kept } | { ok: false; fault: WitnessFault };

const bytesOf = (hex: string): Uint8Array =>
  Uint8Array.from(hex.match(/../gu) ?? [], (pair) => Number.parseInt(pair, 16));

/** KR-1: whether the key this device knows vouched for the new one, itself or through others. */
const vouchedFor = (known: string, { key, successions = [] }: Witness): boolean => {
  let at = known;
  for (const note of successions) at = openSuccession(note, at) ?? at;
  return at === key;
};

/**
 * WI-1: a device keeps the newest checkpoint it has checked and takes a newer one only with a proof that the log
 * goes on from it: `rewind` when the server knows less than the device, `fork` when it knows something else,
 * `signature` when a key signs that the known one did not vouch for, or the signature does not hold. What it kept is never replaced then.
 */
export const judge = (log: string, kept: Kept | undefined, now: Witness): Judgement => {
  const fault = (f: WitnessFault): Judgement => ({ ok: false, fault: f });
  if (kept && !vouchedFor(kept.key, now)) return fault('signature');
  const head = openHead(now.note, now.key);
  if (!head?.origin.endsWith(`/${log}`)) return fault('signature');
  const keep = { key: now.key, note: now.note, size: head.size };
  if (!kept) return { ok: true, keep };
  const before = openHead(kept.note, kept.key);
  // What the device kept itself cannot be read any more: it starts anew rather than accuse the server.
  if (!before) return { ok: true, keep };
  if (head.size < before.size) return fault('rewind');
  const proof = now.proof?.map(bytesOf);
  return proof && continues(before, head, proof) ? { ok: true, keep } : fault('fork');
};
