import type { MediaType } from '@unhindered/shared-types';
import { sniff } from './sniff.ts';
import { stripJpeg } from './strip-jpeg.ts';
import { stripMovie } from './strip-movie.ts';
import { stripPng } from './strip-png.ts';
import { stripWebp } from './strip-webp.ts';
import { Unfit } from './unfit.ts';

/** What is kept of a file that was sent. */
export interface Stripped {
  type: MediaType;
  bytes: Uint8Array;
}

const movie = (bytes: Buffer): Uint8Array => {
  stripMovie(bytes);
  return bytes;
};

const STRIPPERS: Record<MediaType, (bytes: Buffer) => Uint8Array> = {
  'image/jpeg': stripJpeg,
  'image/png': stripPng,
  'image/webp': stripWebp,
  'video/mp4': movie,
  'video/quicktime': movie,
};

/**
 * The file as it is kept: its kind by content, without place, maker, time and whatever else rode along. Photos may have
 * `mostPhoto` bytes. The bytes given may be changed. Throws Unfit.
 */
export const strip = (bytes: Buffer, mostPhoto: number): Stripped => {
  const type = sniff(bytes);
  if (type.startsWith('image/') && bytes.length > mostPhoto) {
    const most = Math.floor(mostPhoto / 1e6);
    throw new Unfit(`A photo may have ${String(most)} MB. Send a smaller one.`);
  }
  return { type, bytes: STRIPPERS[type](bytes) };
};
