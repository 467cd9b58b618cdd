import type { SafetySlice } from '@unhindered/shared-types';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** What an acknowledgement names: SHA-256 of the very words that this device shows. */
export const textHash = (text: string): string => bytesToHex(sha256(utf8ToBytes(text)));

/** Why no trial may be started here now. */
export type Hold = 'stopped' | 'briefing' | 'left' | 'no-consent';

/** Whether a seat has acknowledged the briefing. Without word from the server nothing is held against it. */
export const isBriefed = (safety: SafetySlice | undefined, seat: string): boolean =>
  safety === undefined || safety.briefing.acknowledged.some((a) => a.seat === seat);

/** SD-4: what holds the start of a trial back; null when nothing does. Typed entries of past trials are never held. */
export const holdOf = (
  safety: SafetySlice | undefined,
  stopped: boolean,
  seat: string,
  model: string | undefined,
): Hold | null => {
  if (stopped || safety?.stops.at(-1)?.resumed === null) return 'stopped';
  if (!isBriefed(safety, seat)) return 'briefing';
  if (model === undefined || safety === undefined) return null;
  const known = safety.models.find((m) => m.model === model);
  if (!known) return 'no-consent';
  return known.withdrawn ? 'left' : null;
};
