import type { MediaType } from '@unhindered/shared-types';
import { Unfit } from './unfit.ts';

/** Brands of ISO base media files (ISO/IEC 14496-12, ftyp) that phones write and browsers play. */
const MP4 = new Set([
  'isom',
  'iso2',
  'iso4',
  'iso5',
  'iso6',
  'mp41',
  'mp42',
  'avc1',
  'M4V ',
  'mmp4',
]);
const ASK_JPEG = 'Send a JPEG: on an iPhone, Settings, Camera, Formats, “Most compatible”.';

const ascii = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, to));

const ofBrand = (bytes: Uint8Array): MediaType => {
  const brand = ascii(bytes, 8, 12);
  if (brand === 'qt  ') return 'video/quicktime';
  if (MP4.has(brand) || brand.startsWith('3gp')) return 'video/mp4';
  throw new Unfit(`HEIC, AVIF and other still pictures of this kind are not taken. ${ASK_JPEG}`);
};

/**
 * ME-11: the kind of a file is read from its first bytes, never from a name or from what the sender says. Needs the first
 * 16 bytes. Throws Unfit for every other kind: what cannot be cleaned of its place with certainty is not kept.
 */
export const sniff = (bytes: Uint8Array): MediaType => {
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return 'image/jpeg';
  if (ascii(bytes, 0, 8) === '\x89PNG\r\n\x1a\n') return 'image/png';
  if (ascii(bytes, 0, 4) === 'RIFF' && ascii(bytes, 8, 12) === 'WEBP') return 'image/webp';
  if (ascii(bytes, 4, 8) === 'ftyp') return ofBrand(bytes);
  if (ascii(bytes, 0, 4) === '\x1aE\xdf\xa3') {
    throw new Unfit('WebM and Matroska clips are not taken. Send the clip as MP4 or MOV.');
  }
  throw new Unfit('This is no photo or clip that is taken. Send JPEG, PNG, WebP, MP4 or MOV.');
};
