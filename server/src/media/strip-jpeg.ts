import { orientationBlock, orientationOf } from './orientation.ts';
import { checkPixels, damaged } from './unfit.ts';

const EXIF = 'Exif\0\0';
const ICC = 'ICC_PROFILE\0';
const starts = (bytes: Uint8Array, text: string): boolean =>
  text === String.fromCharCode(...bytes.subarray(0, text.length));

const isFrame = (m: number): boolean =>
  m >= 0xc0 && m <= 0xcf && m !== 0xc4 && m !== 0xc8 && m !== 0xcc;
/** Tables and frames that decode the picture: DHT, DAC, DQT, DNL, DRI, and every SOF. */
const decodes = (m: number): boolean => isFrame(m) || [0xc4, 0xcc, 0xdb, 0xdc, 0xdd].includes(m);

/** Of the application segments only what the colours need: JFIF, the ICC profile, Adobe's transform. */
const keepsColour = (m: number, body: Uint8Array): boolean =>
  (m === 0xe0 && starts(body, 'JFIF\0')) ||
  (m === 0xe2 && starts(body, ICC)) ||
  (m === 0xee && starts(body, 'Adobe'));

/** Where the entropy-coded data that begins at `from` ends: at the next marker that is no restart. */
const scanEnd = (bytes: Uint8Array, from: number): number => {
  for (let i = from; i + 1 < bytes.length; i++) {
    const next = bytes[i + 1] ?? 0;
    if (bytes[i] === 0xff && next !== 0 && next !== 0xff && !(next >= 0xd0 && next <= 0xd7))
      return i;
  }
  throw damaged();
};

const exifSegment = (orientation: number): Uint8Array => {
  const tiff = orientationBlock(orientation);
  const head = [0xff, 0xe1, 0, 2 + EXIF.length + tiff.length];
  return Uint8Array.from([...head, ...Buffer.from(EXIF, 'latin1'), ...tiff]);
};

interface Read {
  parts: Uint8Array[];
  orientation: number;
  frames: number;
}

/** One segment with its length; returns where the next begins. */
const takeSegment = (bytes: Uint8Array, at: number, read: Read): number => {
  const marker = bytes[at + 1] ?? 0;
  const length = ((bytes[at + 2] ?? 0) << 8) | (bytes[at + 3] ?? 0);
  const end = at + 2 + length;
  if (length < 2 || end > bytes.length) throw damaged();
  const body = bytes.subarray(at + 4, end);
  if (marker === 0xe1 && starts(body, EXIF)) {
    read.orientation = orientationOf(body.subarray(EXIF.length));
  }
  if (isFrame(marker)) {
    if (body.length < 6) throw damaged();
    const [, h1 = 0, h2 = 0, w1 = 0, w2 = 0] = body;
    checkPixels((w1 << 8) | w2, (h1 << 8) | h2);
    read.frames += 1;
  }
  if (marker === 0xda) {
    if (read.frames === 0) throw damaged();
    const stop = scanEnd(bytes, end);
    read.parts.push(bytes.subarray(at, stop));
    return stop;
  }
  // JFIF's own small picture is left out: only its fixed 14 bytes stay, with no thumbnail.
  if (marker === 0xe0 && keepsColour(marker, body)) {
    if (body.length < 14) throw damaged();
    read.parts.push(Uint8Array.from([0xff, 0xe0, 0, 16, ...body.subarray(0, 12), 0, 0]));
  } else if (decodes(marker) || keepsColour(marker, body)) read.parts.push(bytes.subarray(at, end));
  return end;
};

/**
 * ME-12: a JPEG (ITU-T T.81) with nothing in it but the picture: of the application segments the colours' alone are kept,
 * of Exif the orientation alone, and nothing that follows the end of the picture. Throws Unfit.
 */
export const stripJpeg = (bytes: Uint8Array): Uint8Array => {
  const read: Read = { parts: [], orientation: 1, frames: 0 };
  let at = 2;
  for (;;) {
    if (at + 1 >= bytes.length || bytes[at] !== 0xff) throw damaged();
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) at += 1;
    else if (marker === 0xd9) break;
    else at = takeSegment(bytes, at, read);
  }
  if (read.frames === 0) throw damaged();
  const turn = read.orientation === 1 ? [] : [exifSegment(read.orientation)];
  const ends = [Uint8Array.of(0xff, 0xd8), Uint8Array.of(0xff, 0xd9)] as const;
  return Buffer.concat([ends[0], ...turn, ...read.parts, ends[1]]);
};
