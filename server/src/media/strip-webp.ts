import { orientationBlock, orientationOf } from './orientation.ts';
import { checkPixels, damaged, Unfit } from './unfit.ts';

const KEPT = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ICCP']);
const EXIF_FLAG = 0x08;
const XMP_FLAG = 0x04;

const chunk = (type: string, body: Uint8Array): Uint8Array => {
  const bytes = Buffer.alloc(8 + body.length + (body.length % 2));
  bytes.write(type, 0, 'latin1');
  bytes.writeUInt32LE(body.length, 4);
  bytes.set(body, 8);
  return bytes;
};

const uint24 = (bytes: Buffer, at: number): number => bytes.readUIntLE(at, 3);

/** Checks what a chunk says of the picture's size (RFC 9649). */
const checkSize = (type: string, body: Buffer): void => {
  if (type === 'VP8X') {
    if (body.length < 10) throw damaged();
    checkPixels(uint24(body, 4) + 1, uint24(body, 7) + 1);
  } else if (type === 'VP8 ') {
    if (body.length < 10) throw damaged();
    checkPixels(body.readUInt16LE(6) & 0x3fff, body.readUInt16LE(8) & 0x3fff);
  } else if (type === 'VP8L') {
    if (body.length < 5 || body[0] !== 0x2f) throw damaged();
    const bits = body.readUInt32LE(1);
    checkPixels((bits & 0x3fff) + 1, ((bits >>> 14) & 0x3fff) + 1);
  }
};

/**
 * ME-12: a still WebP (RFC 9649) with its picture and colours alone: Exif, XMP, chunks nobody knows and what follows the
 * end are left out; of Exif the orientation stays. Throws Unfit; moving pictures are clips.
 */
export const stripWebp = (source: Uint8Array): Uint8Array => {
  const bytes = Buffer.from(source.buffer, source.byteOffset, source.byteLength);
  if (bytes.length < 12) throw damaged();
  const stop = 8 + bytes.readUInt32LE(4);
  if (stop > bytes.length) throw damaged();
  const chunks: { type: string; body: Buffer }[] = [];
  let orientation = 1;
  for (let at = 12; at + 8 <= stop;) {
    const type = bytes.toString('latin1', at, at + 4);
    const end = at + 8 + bytes.readUInt32LE(at + 4);
    if (end > stop) throw damaged();
    const body = Buffer.from(bytes.subarray(at + 8, end));
    if (type === 'ANIM' || type === 'ANMF') {
      throw new Unfit('Moving WebP pictures are not taken. Send a clip as MP4 or MOV.');
    }
    checkSize(type, body);
    if (type === 'EXIF') {
      // Some writers put JPEG's six bytes before the block.
      orientation = orientationOf(
        body.toString('latin1', 0, 4) === 'Exif' ? body.subarray(6) : body,
      );
    }
    if (KEPT.has(type)) chunks.push({ type, body });
    at = end + ((end - at) % 2);
  }
  if (!chunks.some(({ type }) => type === 'VP8 ' || type === 'VP8L')) throw damaged();
  const turned = orientation !== 1 && chunks[0]?.type === 'VP8X';
  if (chunks[0]?.type === 'VP8X') {
    const flags = (chunks[0].body[0] ?? 0) & ~EXIF_FLAG & ~XMP_FLAG;
    chunks[0].body[0] = turned ? flags | EXIF_FLAG : flags;
  }
  const parts = chunks.map(({ type, body }) => chunk(type, body));
  if (turned) parts.push(chunk('EXIF', orientationBlock(orientation)));
  const content = Buffer.concat([Buffer.from('WEBP'), ...parts]);
  return chunk('RIFF', content);
};
