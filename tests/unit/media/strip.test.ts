import { describe, expect, test } from 'vitest';
import { orientationOf } from '../../../server/src/media/orientation.ts';
import { sniff } from '../../../server/src/media/sniff.ts';
import { strip } from '../../../server/src/media/strip.ts';
import { Unfit } from '../../../server/src/media/unfit.ts';
import {
  box,
  CLIP_PICTURE,
  exifBlock,
  exifSegment,
  JPEG_SCAN,
  jpegByHand,
  movieByHand,
  PLACE,
  pngByHand,
  pngChunk,
  riffChunk,
  segment,
  webpByHand,
} from '../../support/media-by-hand.ts';

const MOST = 1_000_000;
const kept = (file: Buffer): Buffer => Buffer.from(strip(Buffer.from(file), MOST).bytes);
const words = Buffer.from(`http://ns.adobe.com/xap/1.0/\0 at ${PLACE}`, 'latin1');

/** A file of each kind with the place wherever the kind can hold it. */
const WITH_PLACE = {
  'image/jpeg': jpegByHand(
    [
      exifSegment(6),
      segment(0xe1, words),
      segment(0xed, words),
      segment(0xe2, Buffer.from(`MPF\0${PLACE}`)),
      segment(0xfe, words),
    ],
    { tail: Buffer.from(`ftypmp42 ${PLACE}`) },
  ),
  'image/png': pngByHand(
    [
      pngChunk('eXIf', exifBlock(6)),
      pngChunk('tEXt', words),
      pngChunk('iTXt', words),
      pngChunk('zzZz', words),
    ],
    { tail: words },
  ),
  'image/webp': Buffer.concat([
    webpByHand([
      riffChunk('EXIF', exifBlock(6)),
      riffChunk('XMP ', words),
      riffChunk('ABCD', words),
    ]),
    words,
  ]),
  'video/mp4': movieByHand({ extra: [box('uuid', words), box('free', words)] }),
  'video/quicktime': movieByHand({
    brand: 'qt  ',
    extra: [box('meta', words), box('XMP_', words)],
  }),
} as const;

describe.each(Object.entries(WITH_PLACE))('%s', (type, file) => {
  test('ME-11: is told by its content', () => {
    expect(sniff(file)).toBe(type);
    expect(strip(Buffer.from(file), MOST).type).toBe(type);
  });

  test('ME-12, ME-13: is kept without the place, wherever it stood, and cleaning again changes nothing', () => {
    expect(file.includes(PLACE)).toBe(true);
    const once = kept(file);
    expect(once.includes(PLACE)).toBe(false);
    expect(once.includes('adobe')).toBe(false);
    expect(kept(once).equals(once)).toBe(true);
  });

  test('cut anywhere it is refused with a remedy, or still clean', () => {
    for (let length = 16; length < file.length; length++) {
      const cut = Buffer.from(file.subarray(0, length));
      try {
        expect(Buffer.from(strip(cut, MOST).bytes).includes(PLACE)).toBe(false);
      } catch (error) {
        if (!(error instanceof Unfit)) throw error;
        expect(error.message).toMatch(/Take|Send|Save/u);
      }
    }
  });

  test('with any one byte changed it is refused or kept, and never breaks the program', () => {
    for (let at = 0; at < file.length; at++) {
      for (const value of [0, 0xff, 0x80]) {
        const changed = Buffer.from(file);
        changed[at] = value;
        try {
          strip(changed, MOST);
        } catch (error) {
          if (!(error instanceof Unfit)) throw error;
        }
      }
    }
  });
});

describe('what stays', () => {
  test.each([1, 3, 6, 8])('ME-12: a picture turned by %i stays so turned', (turned) => {
    const jpeg = kept(jpegByHand([exifSegment(turned, turned > 3)]));
    const at = jpeg.indexOf('Exif');
    expect(at < 0 ? 1 : orientationOf(jpeg.subarray(at + 6))).toBe(turned);
    const png = kept(pngByHand([pngChunk('eXIf', exifBlock(turned))]));
    const chunk = png.indexOf('eXIf');
    expect(chunk < 0 ? 1 : orientationOf(png.subarray(chunk + 4))).toBe(turned);
    const webp = kept(webpByHand([riffChunk('EXIF', exifBlock(turned, false))]));
    const exif = webp.indexOf('EXIF');
    expect(exif < 0 ? 1 : orientationOf(webp.subarray(exif + 8))).toBe(turned);
    // The header of the extended form says whether there is Exif, and never XMP.
    expect(webp[20]).toBe(turned === 1 ? 0 : 0x08);
  });

  test('the data of the pictures are not touched', () => {
    expect(kept(WITH_PLACE['image/jpeg']).includes(JPEG_SCAN)).toBe(true);
    expect(kept(pngByHand()).equals(pngByHand())).toBe(true);
    const colours = [
      segment(0xe2, Buffer.from('ICC_PROFILE\0\x01\x01profile')),
      segment(0xee, Buffer.from('Adobe\0d\0\0\0\0\x01')),
    ];
    const jpeg = jpegByHand(colours);
    expect(kept(jpeg).equals(jpeg)).toBe(true);
  });

  test('ME-13: picture and sound of a clip lie where they lay; samples of other tracks are zeroes', () => {
    const clip = WITH_PLACE['video/mp4'];
    const after = kept(clip);
    expect(after.length).toBe(clip.length);
    const picture = Buffer.concat(CLIP_PICTURE);
    expect(after.indexOf(picture)).toBe(clip.indexOf(picture));
    const places = clip.indexOf('gps ');
    expect(after.subarray(places, places + 20).every((b) => b === 0)).toBe(true);
    expect(after.includes('gps ')).toBe(false);
  });
});

describe('what is not taken', () => {
  const refusal = (file: Buffer): string => {
    try {
      strip(file, MOST);
    } catch (error) {
      if (error instanceof Unfit) return error.message;
      throw error;
    }
    return 'taken';
  };

  test.each([
    ['HEIC', box('ftyp', Buffer.from('heic\0\0\0\0mif1heic')), /JPEG/u],
    ['AVIF', box('ftyp', Buffer.from('avif\0\0\0\0mif1avif')), /JPEG/u],
    ['WebM', Buffer.from('\x1aE\xdf\xa3 and the rest of it', 'latin1'), /MP4 or MOV/u],
    ['GIF', Buffer.from('GIF89a and the rest of it'), /JPEG, PNG/u],
    ['a page', Buffer.from('<!doctype html><script>1</script>'), /JPEG, PNG/u],
    ['nothing', Buffer.alloc(16), /JPEG, PNG/u],
    ['a moving WebP', webpByHand([riffChunk('ANIM', Buffer.alloc(6))]), /clip/u],
    ['a clip in fragments', movieByHand({ extra: [box('moof')] }), /plain MP4/u],
  ])('ME-11: %s is refused with its remedy', (_name, file, remedy) => {
    expect(refusal(file)).toMatch(remedy);
  });

  test('ME-14: a picture that says it is enormous is refused before anybody decodes it', () => {
    expect(refusal(pngByHand([], { said: 60_000 }))).toContain('120 million');
    expect(refusal(jpegByHand([], { width: 65_000, height: 65_000 }))).toContain('120 million');
    expect(refusal(jpegByHand([], { width: 0 }))).toContain('no size');
  });

  test('a photo of more bytes than allowed is refused, a clip of as many is not', () => {
    const long = jpegByHand([segment(0xfe, Buffer.alloc(60_000))]);
    expect(() => strip(long, 50_000)).toThrow(Unfit);
    const clip = movieByHand({ extra: [box('free', Buffer.alloc(60_000))] });
    expect(strip(clip, 50_000).type).toBe('video/mp4');
  });

  test('a page that hides in a picture goes: nothing before the picture, nothing beside, nothing after', () => {
    const script = Buffer.from('<script>alert(1)</script>');
    const hidden = jpegByHand([segment(0xfe, script), segment(0xe5, script)], { tail: script });
    expect(kept(hidden).includes('<script>')).toBe(false);
  });

  test('tables of a clip that point outside the file, or count without end, are refused', () => {
    for (const type of ['stco', 'stsz', 'stsc']) {
      const clip = movieByHand();
      const at = clip.lastIndexOf(type) + 8;
      clip.fill(0xff, at, at + 12);
      expect(refusal(clip)).toMatch(/damaged|taken/u);
    }
  });
});
