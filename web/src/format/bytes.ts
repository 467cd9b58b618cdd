import { rounded } from './number.ts';

const MEGA = 1e6;

/** Megabytes with one decimal, in the reader's writing. */
export const megabytes = (bytes: number): string => rounded(bytes / MEGA, 1);

/** A file's size with its unit: whole kilobytes, rounded up, below a megabyte. */
export const sizeText = (bytes: number): string =>
  bytes < MEGA ? `${String(Math.ceil(bytes / 1000))} kB` : `${megabytes(bytes)} MB`;
