import type { FileHandle } from 'node:fs/promises';
import { expect, test } from 'vitest';
import { writeAll } from '../../../server/src/adapters/disk-media.ts';

/** A disk that takes three bytes at a time. */
const grudging = (into: Uint8Array): Pick<FileHandle, 'write'> => ({
  write: ((piece: Uint8Array, from: number, length: number, at: number) => {
    const taken = Math.min(3, length);
    into.set(piece.subarray(from, from + taken), at);
    return Promise.resolve({ bytesWritten: taken, buffer: piece });
  }) as FileHandle['write'],
});

test('ME-18: a disk that takes a part at a time leaves no hole in an upload', async () => {
  const disk = new Uint8Array(12);
  await writeAll(grudging(disk), Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8), 2);
  expect([...disk]).toEqual([0, 0, 1, 2, 3, 4, 5, 6, 7, 8, 0, 0]);
});
