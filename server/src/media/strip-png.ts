import { crc32 } from 'node:zlib';
import { orientationBlock, orientationOf } from './orientation.ts';
import { checkPixels, damaged } from './unfit.ts';

/** Chunks that the picture needs or its colours are read with; every other one is left out. */
const KEPT = new Set([
  ...[
    'IHDR',
    'PLTE',
    'IDAT',
    'IEND',
    'tRNS',
    'gAMA',
    'cHRM',
    'sRGB',
    'iCCP',
    'sBIT',
    'bKGD',
    'pHYs',
  ],
]);
const SIGNATURE = 8;

const chunk = (type: string, data: Uint8Array): Uint8Array => {
  const bytes = Buffer.alloc(12 + data.length);
  bytes.writeUInt32BE(data.length, 0);
  bytes.write(type, 4, 'latin1');
  bytes.set(data, 8);
  bytes.writeUInt32BE(crc32(bytes.subarray(4, 8 + data.length)), 8 + data.length);
  return bytes;
};

/**
 * ME-12: a PNG (W3C, third edition) with the chunks of its picture and colours alone: texts, time, Exif and what follows
 * the end are left out; of Exif the orientation stays. Checks every chunk's CRC. Throws Unfit.
 */
export const stripPng = (source: Uint8Array): Uint8Array => {
  const bytes = Buffer.from(source.buffer, source.byteOffset, source.byteLength);
  const parts: Uint8Array[] = [];
  let orientation = 1;
  let data = 0;
  for (let at = SIGNATURE; ;) {
    if (at + 12 > bytes.length) throw damaged();
    const length = bytes.readUInt32BE(at);
    const end = at + 12 + length;
    if (end > bytes.length) throw damaged();
    const type = bytes.toString('latin1', at + 4, at + 8);
    const body = bytes.subarray(at + 8, end - 4);
    if (crc32(bytes.subarray(at + 4, end - 4)) !== bytes.readUInt32BE(end - 4)) throw damaged();
    if (at === SIGNATURE && (type !== 'IHDR' || length !== 13)) throw damaged();
    if (type === 'IHDR') checkPixels(body.readUInt32BE(0), body.readUInt32BE(4));
    if (type === 'IDAT') data += 1;
    if (type === 'eXIf') orientation = orientationOf(body);
    if (KEPT.has(type)) parts.push(bytes.subarray(at, end));
    if (type === 'IEND') break;
    at = end;
  }
  if (data === 0) throw damaged();
  // Exif stands between the header and the picture's data.
  if (orientation !== 1) parts.splice(1, 0, chunk('eXIf', orientationBlock(orientation)));
  return Buffer.concat([bytes.subarray(0, SIGNATURE), ...parts]);
};
