import { pipeline } from 'node:stream/promises';
import { mediaId, reject, type Outcome } from '@unhindered/shared-types';
import { Router, type Request, type RequestHandler, type Response } from 'express';
import * as v from 'valibot';
import type { Houses } from '../flows/houses.ts';
import { beginUpload, mediaFor, ownUpload } from '../flows/media.ts';
import type { Upload } from '../ports/media-files.ts';
import { practiceMedia } from '../flows/practice.ts';
import { sendRejection } from './answers.ts';
import { memberEvaluation, type Member } from './member.ts';
import { originAllowed, type HostRule } from './origin.ts';

/** Version of the resumable upload protocol (tus 1.0.0, core, creation and termination) that is spoken here. */
const TUS = '1.0.0';
const PIECE = 'application/offset+octet-stream';

const wholeNumber = (header: string | string[] | undefined): number | undefined =>
  typeof header === 'string' && /^\d{1,12}$/u.test(header) ? Number(header) : undefined;

/** AC-6 for uploads, and the protocol's own rule: another version is 412, with the one that is spoken. */
const speaks =
  (rule: HostRule): RequestHandler =>
  (request, response, next) => {
    response.set('Tus-Resumable', TUS);
    if (!originAllowed(request, rule)) {
      sendRejection(response, reject('role-may-not', 'This request comes from another site.'));
    } else if (request.headers['tus-resumable'] !== TUS) {
      response.set('Tus-Version', TUS).status(412).end();
    } else next();
  };

type Asked = Request<{ id: string; media: string }>;

/** The caller's own upload of the address; answers the request itself for anybody else. */
const uploadOf = async (
  houses: Houses,
  request: Asked,
  response: Response,
): Promise<(Member & { upload: Upload }) | undefined> => {
  const member = await memberEvaluation(houses, request, response);
  if (!member) return undefined;
  const { app, live, identity } = member;
  const known = v.is(mediaId, request.params.media);
  const upload: Outcome<Upload> = known
    ? await ownUpload(app, live, identity.seat, request.params.media)
    : { ok: false, rejection: reject('unknown-thing', 'There is no such upload. Begin again.') };
  if (upload.ok) return { ...member, upload: upload.value };
  sendRejection(response, upload.rejection);
  return undefined;
};

const create = async (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
): Promise<void> => {
  const member = await memberEvaluation(houses, request, response);
  if (!member) return;
  const { app, live, identity } = member;
  const length = wholeNumber(request.headers['upload-length']);
  if (length === undefined || length === 0) {
    sendRejection(response, reject('bad-input', 'Say the length of the file in Upload-Length.'));
    return;
  }
  const most = Math.max(app.media.limits.clip, app.media.limits.photo);
  if (length > most) {
    const { photo, clip } = app.media.limits;
    const words = `A photo may have ${String(photo / 1e6)} MB and a clip ${String(clip / 1e6)} MB. Send a shorter or smaller one.`;
    response.status(413).json({ error: reject('bad-input', words) });
    return;
  }
  const begun = await beginUpload(app, live, identity.seat, length);
  if (!begun.ok) sendRejection(response, begun.rejection);
  else {
    const place = `/api/evaluations/${live.id}/uploads/${begun.value}`;
    response.status(201).set('Location', place).end();
  }
};

const WHY = { busy: 423, offset: 409, long: 413 } as const;

const append = async (houses: Houses, request: Asked, response: Response): Promise<void> => {
  const found = await uploadOf(houses, request, response);
  if (!found) return;
  const offset = wholeNumber(request.headers['upload-offset']);
  if (request.headers['content-type'] !== PIECE) response.status(415).end();
  else if (offset === undefined) response.status(400).end();
  else {
    const said = await found.app.media.append(found.upload.media, offset, request);
    if (said.ok) response.status(204).set('Upload-Offset', String(said.offset)).end();
    else response.status(WHY[said.why]).end();
  }
};

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

const sendFile = async (houses: Houses, request: Asked, response: Response): Promise<void> => {
  const member = await memberEvaluation(houses, request, response);
  if (!member) return;
  const { app, live, identity } = member;
  const asked = request.params.media;
  const media =
    mediaFor(app, live, identity.seat, asked) ??
    (await practiceMedia(app, live, identity.seat, asked));
  const file = media && (await app.media.open(live.id, media.sha256));
  if (!media || !file) {
    sendRejection(response, reject('unknown-thing', 'There is no such photo or clip for you.'));
    return;
  }
  const range = rangeOf(request.headers.range, file.size);
  response.set({
    'Accept-Ranges': 'bytes',
    'Content-Type': media.type,
    'Content-Disposition': `inline; filename="${NAMES[media.type]}"`,
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

/** Uploads that go on after a cut, by tus 1.0.0, and the kept photos and clips for those who may see them. */
export const mediaRoutes = (houses: Houses, rule: HostRule): Router => {
  const router = Router();
  const spoken = speaks(rule);
  const one = '/evaluations/:id/uploads/:media';

  router.post('/evaluations/:id/uploads', spoken, (request: Request<{ id: string }>, response) =>
    create(houses, request, response),
  );
  router.head(one, spoken, async (request: Asked, response) => {
    const found = await uploadOf(houses, request, response);
    if (!found) return;
    const { offset, length } = found.upload;
    response.set({ 'Upload-Offset': String(offset), 'Upload-Length': String(length) });
    response.status(200).end();
  });
  router.patch(one, spoken, (request: Asked, response) => append(houses, request, response));
  router.delete(one, spoken, async (request: Asked, response) => {
    const found = await uploadOf(houses, request, response);
    if (!found) return;
    await found.app.media.drop(found.upload.media);
    response.status(204).end();
  });
  router.get('/evaluations/:id/media-limits', async (request, response) => {
    const member = await memberEvaluation(houses, request, response);
    if (member) response.json(member.app.media.limits);
  });
  router.get('/evaluations/:id/media/:media', (request: Asked, response) =>
    sendFile(houses, request, response),
  );
  return router;
};
