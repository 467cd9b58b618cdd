import { mediaId, reject, type Outcome, type Rejection } from '@unhindered/shared-types';
import { Router, type Request, type RequestHandler, type Response } from 'express';
import * as v from 'valibot';
import { evaluationRefusal } from '../evaluation/decide.ts';
import { panelRefusal } from '../evaluation/panel-decide.ts';
import type { App } from '../flows/app.ts';
import type { Houses } from '../flows/houses.ts';
import { beginUpload, mediaFor, ownUpload, type UploadHome } from '../flows/media.ts';
import type { Upload } from '../ports/media-files.ts';
import { practiceMedia } from '../flows/practice.ts';
import { sendRejection } from './answers.ts';
import { memberEvaluation, memberPanel } from './member.ts';
import { originAllowed, type HostRule } from './origin.ts';
import { sendFile } from './send-file.ts';

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

/** Where somebody uploads to, and why they may begin nothing there; undefined when they may. */
interface Door {
  app: App;
  home: UploadHome;
  barred: Rejection | undefined;
}

/** The door in the address; answers the request itself for who has none. */
type FindDoor = (
  houses: Houses,
  request: Request<{ id: string }>,
  response: Response,
) => Promise<Door | undefined>;

/** For photos and clips of tasks and trials. */
const evaluationDoor: FindDoor = async (houses, request, response) => {
  const member = await memberEvaluation(houses, request, response);
  if (!member) return undefined;
  const { app, live, identity } = member;
  const barred = evaluationRefusal(live.state, 'attach-media', identity.seat)?.rejection;
  return { app, home: { log: live.id, seat: identity.seat }, barred };
};

/** For photos of specimens, which are shown from a panel. */
const panelDoor: FindDoor = async (houses, request, response) => {
  const member = await memberPanel(houses, request, response);
  if (!member) return undefined;
  const { app, live, identity } = member;
  const barred = panelRefusal(live.state, 'add-specimen-photo', identity.seat)?.rejection;
  return { app, home: { log: live.id, seat: identity.seat }, barred };
};

/** The caller's own upload of the address; answers the request itself for anybody else. */
const uploadOf = async (
  { app, home }: Door,
  request: Asked,
  response: Response,
): Promise<Upload | undefined> => {
  const known = v.is(mediaId, request.params.media);
  const upload: Outcome<Upload> = known
    ? await ownUpload(app, home, request.params.media)
    : { ok: false, rejection: reject('unknown-thing', 'There is no such upload. Begin again.') };
  if (upload.ok) return upload.value;
  sendRejection(response, upload.rejection);
  return undefined;
};

const create = async (
  { app, home, barred }: Door,
  request: Request<{ id: string }>,
  response: Response,
): Promise<void> => {
  if (barred) {
    sendRejection(response, barred);
    return;
  }
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
  const begun = await beginUpload(app, home, length);
  if (!begun.ok) sendRejection(response, begun.rejection);
  else {
    const place = `${request.baseUrl}${request.path.replace(/\/$/u, '')}/${begun.value}`;
    response.status(201).set('Location', place).end();
  }
};

const WHY = { busy: 423, offset: 409, long: 413 } as const;

const append = async (door: Door, request: Asked, response: Response): Promise<void> => {
  const upload = await uploadOf(door, request, response);
  if (!upload) return;
  const offset = wholeNumber(request.headers['upload-offset']);
  if (request.headers['content-type'] !== PIECE) response.status(415).end();
  else if (offset === undefined) response.status(400).end();
  else {
    const said = await door.app.media.append(upload.media, offset, request);
    if (said.ok) response.status(204).set('Upload-Offset', String(said.offset)).end();
    else response.status(WHY[said.why]).end();
  }
};

const sendMedia = async (houses: Houses, request: Asked, response: Response): Promise<void> => {
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
  await sendFile(request, response, file, media.type);
};

/** Uploads that go on after a cut, by tus 1.0.0, under one kind of address. */
const uploadRoutes = (
  router: Router,
  under: 'evaluations' | 'panels',
  findDoor: FindDoor,
  { houses, spoken }: { houses: Houses; spoken: RequestHandler },
): void => {
  const one = `/${under}/:id/uploads/:media` as const;
  const at =
    <P extends { id: string }>(
      answer: (door: Door, request: Request<P>, response: Response) => Promise<void> | void,
    ) =>
    async (request: Request<P>, response: Response): Promise<void> => {
      const door = await findDoor(houses, request, response);
      if (door) await answer(door, request, response);
    };
  router.post(`/${under}/:id/uploads`, spoken, at<{ id: string }>(create));
  router.head(
    one,
    spoken,
    at(async (door, request: Asked, response) => {
      const upload = await uploadOf(door, request, response);
      if (!upload) return;
      const { offset, length } = upload;
      response.set({ 'Upload-Offset': String(offset), 'Upload-Length': String(length) });
      response.status(200).end();
    }),
  );
  router.patch(one, spoken, at(append));
  router.delete(
    one,
    spoken,
    at(async (door, request: Asked, response) => {
      const upload = await uploadOf(door, request, response);
      if (!upload) return;
      await door.app.media.drop(upload.media);
      response.status(204).end();
    }),
  );
  router.get(
    `/${under}/:id/media-limits`,
    at(({ app }, _request: Request<{ id: string }>, response) => {
      response.json(app.media.limits);
    }),
  );
};

/** Uploads of photos and clips, and the kept ones of an evaluation for those who may see them. */
export const mediaRoutes = (houses: Houses, rule: HostRule): Router => {
  const router = Router();
  const by = { houses, spoken: speaks(rule) };
  uploadRoutes(router, 'evaluations', evaluationDoor, by);
  uploadRoutes(router, 'panels', panelDoor, by);
  router.get('/evaluations/:id/media/:media', (request: Asked, response) =>
    sendMedia(houses, request, response),
  );
  return router;
};
