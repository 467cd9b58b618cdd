import { damaged, Unfit } from './unfit.ts';

/** Boxes that stay, by the box they stand in; what else stands there becomes free space of the same length. */
const KEPT: Record<string, readonly string[]> = {
  '': ['ftyp', 'moov', 'mdat', 'free', 'skip', 'wide'],
  moov: ['mvhd', 'trak', 'iods'],
  trak: ['tkhd', 'edts', 'mdia', 'tapt', 'tref'],
  mdia: ['mdhd', 'hdlr', 'minf'],
  minf: ['vmhd', 'smhd', 'gmhd', 'nmhd', 'hdlr', 'dinf', 'stbl'],
  stbl: [
    'stsd',
    'stts',
    'stss',
    'ctts',
    'stsc',
    'stsz',
    'stco',
    'co64',
    'sdtp',
    'sgpd',
    'sbgp',
    'cslg',
    'stps',
  ],
};

interface Box {
  type: string;
  start: number;
  body: number;
  end: number;
}

/** The boxes between two places, in order. Throws Unfit when one reaches out of its parent. */
const boxesIn = (bytes: Buffer, from: number, to: number): Box[] => {
  const boxes: Box[] = [];
  for (let at = from; at < to;) {
    // QuickTime ends some lists with four zero bytes.
    if (to - at === 4 && bytes.readUInt32BE(at) === 0) break;
    if (to - at < 8) throw damaged();
    const small = bytes.readUInt32BE(at);
    const long = small === 1;
    if (long && to - at < 16) throw damaged();
    const size = long ? Number(bytes.readBigUInt64BE(at + 8)) : small === 0 ? to - at : small;
    const body = at + (long ? 16 : 8);
    const end = at + size;
    if (end < body || end > to) throw damaged();
    boxes.push({ type: bytes.toString('latin1', at + 4, at + 8), start: at, body, end });
    at = end;
  }
  return boxes;
};

const blank = (bytes: Buffer, { start, body, end }: Box): void => {
  bytes.write('free', start + 4, 'latin1');
  bytes.fill(0, body, end);
};

/** Blanks what does not stay in a box of a kind, and goes on into what does. */
const clean = (bytes: Buffer, kind: string, from: number, to: number): void => {
  for (const box of boxesIn(bytes, from, to)) {
    if (!KEPT[kind]?.includes(box.type) || box.type === 'free' || box.type === 'skip') {
      blank(bytes, box);
    } else if (KEPT[box.type]) clean(bytes, box.type, box.body, box.end);
  }
};

const inside = (bytes: Buffer, box: Box, ...path: string[]): Box | undefined => {
  let at: Box | undefined = box;
  for (const type of path) at = at && boxesIn(bytes, at.body, at.end).find((b) => b.type === type);
  return at;
};

const cell = (bytes: Buffer, box: Box, at: number): number => {
  if (box.body + at + 4 > box.end) throw damaged();
  return bytes.readUInt32BE(box.body + at);
};

/** How many samples each chunk holds, by its number from 0 (stsc of ISO/IEC 14496-12). */
const samplesPerChunk = (bytes: Buffer, stsc: Box, chunks: number): number[] => {
  const runs = Array.from({ length: ((stsc.end - stsc.body - 8) / 12) | 0 }, (_, i) => ({
    first: cell(bytes, stsc, 8 + i * 12) - 1,
    samples: cell(bytes, stsc, 12 + i * 12),
  })).slice(0, cell(bytes, stsc, 4));
  const of: number[] = [];
  let run = 0;
  for (let i = 0; i < chunks; i++) {
    while ((runs[run + 1]?.first ?? Infinity) <= i) run += 1;
    of.push(runs[run]?.samples ?? 0);
  }
  return of;
};

/** Zeroes every sample of a track where it lies. Throws Unfit when its tables do not fit the file. */
const blankSamples = (bytes: Buffer, trak: Box): void => {
  const stbl = inside(bytes, trak, 'mdia', 'minf', 'stbl');
  const [stsz, stsc] = ['stsz', 'stsc'].map((type) => stbl && inside(bytes, stbl, type));
  const small = stbl && inside(bytes, stbl, 'stco');
  const offsets = small ?? (stbl && inside(bytes, stbl, 'co64'));
  if (!stsz || !stsc || !offsets) throw damaged();
  const width = small ? 4 : 8;
  const chunks = cell(bytes, offsets, 4);
  const fixed = cell(bytes, stsz, 4);
  const samples = cell(bytes, stsz, 8);
  if (offsets.body + 8 + chunks * width > offsets.end) throw damaged();
  if (fixed === 0 && stsz.body + 12 + samples * 4 > stsz.end) throw damaged();
  let sample = 0;
  samplesPerChunk(bytes, stsc, chunks).forEach((count, i) => {
    const place = offsets.body + 8 + i * width;
    let at = small ? bytes.readUInt32BE(place) : Number(bytes.readBigUInt64BE(place));
    for (let n = 0; n < count && sample < samples; n++, sample++) {
      const size = fixed === 0 ? cell(bytes, stsz, 12 + sample * 4) : fixed;
      if (at + size > bytes.length) throw damaged();
      bytes.fill(0, at, at + size);
      at += size;
    }
  });
};

/** Picture and sound stay; a track of anything else, such as places noted as the clip runs, is emptied and freed. */
const keepsTrack = (bytes: Buffer, trak: Box): boolean => {
  const hdlr = inside(bytes, trak, 'mdia', 'hdlr');
  if (!hdlr || hdlr.body + 12 > hdlr.end) throw damaged();
  return ['vide', 'soun'].includes(bytes.toString('latin1', hdlr.body + 8, hdlr.body + 12));
};

/**
 * ME-13: an MP4 or QuickTime clip (ISO/IEC 14496-12) whose picture and sound lie where they lay, and in which every box
 * that is not needed to play them is zeroes: places, makers, texts (udta, meta, uuid), and whole tracks that are neither
 * picture nor sound, with their samples. Changes the bytes in place. Throws Unfit.
 */
export const stripMovie = (bytes: Buffer): void => {
  const top = boxesIn(bytes, 0, bytes.length);
  const moov = top.filter((b) => b.type === 'moov');
  if (top.some((b) => b.type === 'moof')) {
    throw new Unfit(
      'Clips in fragments are not taken. Save the clip as a plain MP4 and send that.',
    );
  }
  if (moov.length !== 1 || moov[0] === undefined || !top.some((b) => b.type === 'mdat'))
    throw damaged();
  const tracks = boxesIn(bytes, moov[0].body, moov[0].end).filter((b) => b.type === 'trak');
  const kept = tracks.filter((t) => keepsTrack(bytes, t));
  if (kept.length === 0) throw damaged();
  for (const trak of tracks.filter((t) => !kept.includes(t))) {
    blankSamples(bytes, trak);
    blank(bytes, trak);
  }
  clean(bytes, '', 0, bytes.length);
};
