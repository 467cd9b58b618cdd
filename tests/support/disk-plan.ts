import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import { constants } from 'node:os';

/**
 * What a disk does to the database files: fails a write or a sync, kills the process before a write, leaves a copy of
 * the files before every write and sync, or lets nothing be opened for writing.
 */
export type DiskFault = 'nothing' | 'write' | 'sync' | 'kill' | 'copy' | 'read-only';

const KINDS: readonly DiskFault[] = ['nothing', 'write', 'sync', 'kill', 'copy', 'read-only'];
/** Words of 32 bits in a plan file. */
export const WORDS = 8;

interface How {
  /** Calls that go well before it. */
  after?: number;
  error?: 'EIO' | 'ENOSPC' | 'EROFS';
  /** Every later call fails too, until `heal`. */
  sticky?: boolean;
  /** Half of the failing write reaches the disk. */
  torn?: boolean;
}

/** The file through which a test and a preloaded process share a plan; see disk-fault.c. */
export interface DiskPlan {
  set: (kind: DiskFault, how?: How) => void;
  heal: () => void;
  counts: () => { writes: number; syncs: number; failed: number };
}

/** Opens a plan file that exists. */
export const diskPlan = (file: string): DiskPlan => {
  const words = (first: number, values: readonly number[]): void => {
    const bytes = Buffer.alloc(values.length * 4);
    values.forEach((value, i) => bytes.writeInt32LE(value, i * 4));
    const handle = openSync(file, 'r+');
    writeSync(handle, bytes, 0, bytes.length, first * 4);
    closeSync(handle);
  };
  return {
    set: (kind, { after = 0, error = 'EIO', sticky = false, torn = false } = {}) => {
      const flags = [constants.errno[error], Number(sticky), Number(torn), 0, 0, 0];
      // The kind comes last: until it is there, nothing fails.
      words(0, [0, after, ...flags]);
      words(0, [KINDS.indexOf(kind)]);
    },
    heal: () => words(0, [0]),
    counts: () => {
      const bytes = Buffer.alloc(WORDS * 4);
      const handle = openSync(file, 'r');
      readSync(handle, bytes, 0, bytes.length, 0);
      closeSync(handle);
      const [writes = 0, syncs = 0, failed = 0] = [5, 6, 7].map((i) => bytes.readInt32LE(i * 4));
      return { writes, syncs, failed };
    },
  };
};
