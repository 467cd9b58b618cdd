import { existsSync, readFileSync } from 'node:fs';
import { StoreUnavailable } from './store-unavailable.ts';

/** Sizes and places of SQLite's write-ahead log; file format documentation, "The Write-Ahead Log". */
const HEADER = 32;
const FRAME_HEADER = 24;
const MAGIC_LITTLE = 0x377f0682;

type Sum = readonly [number, number];

/** The log's running checksum over pairs of 32-bit words. */
const addUp = (bytes: Buffer, [s0, s1]: Sum, little: boolean): Sum => {
  let [a, b] = [s0, s1];
  for (let at = 0; at + 8 <= bytes.length; at += 8) {
    const x = little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at);
    const y = little ? bytes.readUInt32LE(at + 4) : bytes.readUInt32BE(at + 4);
    a = (a + x + b) >>> 0;
    b = (b + y + a) >>> 0;
  }
  return [a, b];
};

/** Frames of one log, as far as they carry its salt: whether each is a commit, and whether its checksum holds. */
interface Frames {
  headerHolds: boolean;
  frames: { commit: boolean; holds: boolean }[];
}

const readFrames = (log: Buffer): Frames => {
  const little = log.readUInt32BE(0) === MAGIC_LITTLE;
  let sum = addUp(log.subarray(0, 24), [0, 0], little);
  const headerHolds = sum[0] === log.readUInt32BE(24) && sum[1] === log.readUInt32BE(28);
  const size = FRAME_HEADER + log.readUInt32BE(8);
  const salts = log.subarray(16, 24);
  const frames: Frames['frames'] = [];
  let whole = headerHolds && size > FRAME_HEADER;
  for (let at = HEADER; size > FRAME_HEADER && at + size <= log.length; at += size) {
    const frame = log.subarray(at, at + size);
    // A frame with another salt was left by an earlier turn of the log, or is damaged itself.
    if (!frame.subarray(8, 16).equals(salts)) {
      whole = false;
      frames.push({ commit: false, holds: false });
      continue;
    }
    sum = addUp(frame.subarray(FRAME_HEADER), addUp(frame.subarray(0, 8), sum, little), little);
    const holds = whole && sum[0] === frame.readUInt32BE(16) && sum[1] === frame.readUInt32BE(20);
    whole = holds;
    frames.push({ commit: frame.readUInt32BE(4) !== 0, holds });
  }
  return { headerHolds, frames };
};

/**
 * Where a write-ahead log is damaged although it was synced, as the number of the frame; undefined when it is whole,
 * or torn only where the last step was being written. At FULL a step is written after the one before it is synced: a
 * frame that does not hold, and after the end of its step more frames with the same salt, is no torn write.
 */
export const damagedFrame = (log: Buffer): number | undefined => {
  if (log.length < HEADER) return undefined;
  const { headerHolds, frames } = readFrames(log);
  if (!headerHolds) return log.length > HEADER ? 0 : undefined;
  const bad = frames.findIndex((f) => !f.holds);
  if (bad < 0) return undefined;
  const end = frames.findIndex((f, i) => i >= bad && f.commit);
  const goesOn = end >= 0 && frames.some((f, i) => i > end && f.commit);
  return goesOn ? bad + 1 : undefined;
};

/**
 * ST-9: a write-ahead log that was damaged in the middle is not opened: the database library would read up to the
 * damage, forget what was acknowledged after it, and say nothing. Looked at before anything is opened or changed.
 */
export const refuseDamagedLog = (file: string): void => {
  const path = `${file}-wal`;
  if (!existsSync(path)) return;
  const frame = damagedFrame(readFileSync(path));
  if (frame === undefined) return;
  const remedy = 'Keep a copy of both files and put a backup in their place.';
  throw new StoreUnavailable(
    `${path} is damaged at page ${String(frame)}: steps that were saved cannot be read. ${remedy}`,
  );
};
