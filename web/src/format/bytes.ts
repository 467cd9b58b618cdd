import { locale } from './locale.ts';

const MEGA = 1e6;
const tenths = new Intl.NumberFormat(locale, {
  minimumFractionDigits: 1,
  maximumFractionDigits: 1,
});

/** Megabytes with one decimal, in the reader's writing. */
export const megabytes = (bytes: number): string => tenths.format(bytes / MEGA);

/** A file's size with its unit: whole kilobytes, rounded up, below a megabyte. */
export const sizeText = (bytes: number): string =>
  bytes < MEGA ? `${String(Math.ceil(bytes / 1000))} kB` : `${megabytes(bytes)} MB`;
