import { pipeline } from 'node:stream/promises';
import type { MediaType } from '@unhindered/shared-types';
import type { Request, Response } from 'express';
import type { MediaFiles } from '../ports/media-files.ts';

const NAMES = {
  'image/jpeg': 'photo.jpg',
  'image/png': 'photo.png',
  'image/webp': 'photo.webp',
  'video/mp4': 'clip.mp4',
  'video/quicktime': 'clip.mov',
} as const;

/** First and last byte that a Range header asks for (RFC 9110, one range); null where it cannot be met. */
const rangeOf = (header: string | undefined, size: number): [number, number] | null | undefined => {
  const found = /^bytes=(\d*)-(\d*)$/u.exec(header ?? '');
  if (!found) return undefined;
  const [, first = '', last = ''] = found;
  if (first === '')
    return last === '' || Number(last) === 0 ? null : [Math.max(0, size - Number(last)), size - 1];
  const from = Number(first);
  const to = last === '' ? size - 1 : Math.min(Number(last), size - 1);
  return from < size && from <= to ? [from, to] : null;
};

/** Answers with a kept photo or clip, or the part of it that was asked for. No page can be made of it. */
export const sendFile = async (
  request: Request,
  response: Response,
  file: NonNullable<Awaited<ReturnType<MediaFiles['open']>>>,
  type: MediaType,
): Promise<void> => {
  const range = rangeOf(request.headers.range, file.size);
  response.set({
    'Accept-Ranges': 'bytes',
    'Content-Type': type,
    'Content-Disposition': `inline; filename="${NAMES[type]}"`,
    'Content-Security-Policy': "default-src 'none'; sandbox; frame-ancestors 'none'",
  });
  if (range === null) {
    response
      .status(416)
      .set('Content-Range', `bytes */${String(file.size)}`)
      .end();
    return;
  }
  const [from, to] = range ?? [0, file.size - 1];
  if (range) {
    response.status(206);
    response.set('Content-Range', `bytes ${String(from)}-${String(to)}/${String(file.size)}`);
  }
  response.set('Content-Length', String(to - from + 1));
  if (request.method === 'HEAD') response.end();
  else await pipeline(file.stream(from, to), response).catch(() => response.destroy());
};
