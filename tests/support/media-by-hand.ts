import { crc32, deflateSync } from 'node:zlib';

/** Words that no kept file may hold: they stand where places and makers stand. */
export const PLACE = '+47.3769+008.5417/';
const bytesOf = (text: string): Buffer => Buffer.from(text, 'latin1');

/** A TIFF block as a phone writes it: orientation, maker, and a pointer to a GPS directory with the place in it. */
export const exifBlock = (orientation: number, little = true): Buffer => {
  const b = Buffer.alloc(80);
  const u16 = (v: number, at: number) => (little ? b.writeUInt16LE(v, at) : b.writeUInt16BE(v, at));
  const u32 = (v: number, at: number) => (little ? b.writeUInt32LE(v, at) : b.writeUInt32BE(v, at));
  b.write(little ? 'II' : 'MM', 0, 'latin1');
  u16(42, 2);
  u32(8, 4);
  u16(2, 8);
  u16(0x0112, 10);
  u16(3, 12);
  u32(1, 14);
  u16(orientation, 18);
  u16(0x8825, 22);
  u16(4, 24);
  u32(1, 26);
  u32(50, 30);
  b.write(PLACE, 50, 'latin1');
  return b;
};

export const segment = (marker: number, body: Buffer): Buffer => {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(body.length + 2, 2);
  return Buffer.concat([head, body]);
};

const frame = (width: number, height: number): Buffer => {
  const body = Buffer.from([8, 0, 0, 0, 0, 1, 1, 0x11, 0]);
  body.writeUInt16BE(height, 1);
  body.writeUInt16BE(width, 3);
  return segment(0xc0, body);
};

/** The compressed data of the picture below: with a stuffed byte and a restart marker, as real ones have. */
export const JPEG_SCAN = Buffer.from([1, 2, 0xff, 0, 3, 0xff, 0xd0, 4, 5]);

/** A JPEG in form (ITU-T T.81); `extra` segments stand before the frame, `tail` after the end. */
export const jpegByHand = (
  extra: readonly Buffer[],
  { tail = Buffer.alloc(0), width = 4, height = 3 } = {},
): Buffer =>
  Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    segment(0xe0, Buffer.concat([bytesOf('JFIF\0'), Buffer.from([1, 2, 0, 0, 1, 0, 1, 0, 0])])),
    ...extra,
    segment(0xdb, Buffer.alloc(65, 1)),
    frame(width, height),
    segment(0xc4, Buffer.alloc(19, 0)),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    JPEG_SCAN,
    Buffer.from([0xff, 0xd9]),
    tail,
  ]);

export const exifSegment = (orientation: number, little = true): Buffer =>
  segment(0xe1, Buffer.concat([bytesOf('Exif\0\0'), exifBlock(orientation, little)]));

export const pngChunk = (type: string, body: Buffer): Buffer => {
  const b = Buffer.alloc(12 + body.length);
  b.writeUInt32BE(body.length, 0);
  b.write(type, 4, 'latin1');
  body.copy(b, 8);
  b.writeUInt32BE(crc32(b.subarray(4, 8 + body.length)), 8 + body.length);
  return b;
};

const header = (width: number, height: number): Buffer => {
  const b = Buffer.from([0, 0, 0, 0, 0, 0, 0, 0, 8, 2, 0, 0, 0]);
  b.writeUInt32BE(width, 0);
  b.writeUInt32BE(height, 4);
  return pngChunk('IHDR', b);
};

/** A PNG that every viewer shows: a plain square; `shade` tells one from another. `extra` stands before the data. */
export const pngByHand = (
  extra: readonly Buffer[] = [],
  { size = 16, said = 0, tail = Buffer.alloc(0), shade = 120 } = {},
): Buffer => {
  const rows = Buffer.alloc(size * (1 + 3 * size), shade);
  for (let y = 0; y < size; y++) rows[y * (1 + 3 * size)] = 0;
  return Buffer.concat([
    bytesOf('\x89PNG\r\n\x1a\n'),
    header(said || size, said || size),
    ...extra,
    pngChunk('IDAT', deflateSync(rows)),
    pngChunk('IEND', Buffer.alloc(0)),
    tail,
  ]);
};

export const riffChunk = (type: string, body: Buffer): Buffer => {
  const b = Buffer.alloc(8 + body.length + (body.length % 2));
  b.write(type, 0, 'latin1');
  b.writeUInt32LE(body.length, 4);
  body.copy(b, 8);
  return b;
};

/** A WebP in form (RFC 9649): extended header, a lossless picture of 4 x 3, then `extra`. */
export const webpByHand = (extra: readonly Buffer[], flags = 0x0c): Buffer => {
  const canvas = Buffer.from([flags, 0, 0, 0, 3, 0, 0, 2, 0, 0]);
  const picture = Buffer.from([0x2f, 0x03, 0x80, 0, 0, 7, 7]);
  const parts = [riffChunk('VP8X', canvas), riffChunk('VP8L', picture), ...extra];
  return riffChunk('RIFF', Buffer.concat([bytesOf('WEBP'), ...parts]));
};

export const box = (type: string, ...content: Buffer[]): Buffer => {
  const body = Buffer.concat(content);
  const head = Buffer.alloc(8);
  head.writeUInt32BE(8 + body.length, 0);
  head.write(type, 4, 'latin1');
  return Buffer.concat([head, body]);
};

const u32 = (...values: number[]): Buffer => {
  const b = Buffer.alloc(values.length * 4);
  values.forEach((v, i) => b.writeUInt32BE(v, i * 4));
  return b;
};

interface Track {
  handler: string;
  /** Its samples, all in one chunk at `offset` in the file. */
  samples: readonly Buffer[];
  offset: number;
}

const trackBox = ({ handler, samples, offset }: Track): Buffer =>
  box(
    'trak',
    box('tkhd', Buffer.alloc(84)),
    box('udta', box('name', bytesOf(PLACE))),
    box(
      'mdia',
      box('mdhd', Buffer.alloc(24)),
      box('hdlr', u32(0, 0), bytesOf(handler), Buffer.alloc(13)),
      box(
        'minf',
        box('dinf'),
        box(
          'stbl',
          box('stsd', u32(0, 0)),
          box('stsc', u32(0, 1, 1, samples.length, 1)),
          box('stsz', u32(0, 0, samples.length, ...samples.map((s) => s.length))),
          box('stco', u32(0, 1, offset)),
        ),
      ),
    ),
  );

/** The picture's and the places' samples of the clip below. */
export const CLIP_PICTURE = [bytesOf('picture-one'), bytesOf('picture-2')];
export const CLIP_PLACES = [bytesOf(`gps ${PLACE}`), bytesOf(`gps ${PLACE} later`)];

/**
 * A clip in form (ISO/IEC 14496-12): a picture track and one that notes places, both in `mdat`, and places in every kind
 * of box that holds them. `extra` stands at the top.
 */
export const movieByHand = ({
  brand = 'isom',
  extra = [] as Buffer[],
  places = true,
} = {}): Buffer => {
  const ftyp = box('ftyp', bytesOf(brand), u32(0), bytesOf(brand));
  const samples = [...CLIP_PICTURE, ...CLIP_PLACES];
  const mdat = box('mdat', ...samples);
  const start = ftyp.length + 8;
  const second = start + Buffer.concat(CLIP_PICTURE).length;
  const moov = box(
    'moov',
    box('mvhd', Buffer.alloc(100)),
    trackBox({ handler: 'vide', samples: CLIP_PICTURE, offset: start }),
    ...(places ? [trackBox({ handler: 'meta', samples: CLIP_PLACES, offset: second })] : []),
    box('udta', box('\xa9xyz', bytesOf(`\0\x12\x15\xc7${PLACE}`)), box('loci', bytesOf(PLACE))),
    box('meta', box('ilst', bytesOf(PLACE))),
    box('uuid', Buffer.alloc(16, 7), bytesOf(PLACE)),
  );
  return Buffer.concat([ftyp, mdat, moov, ...extra]);
};
