import { done, refused, type EvaluationCommand, type Outcome } from '@unhindered/shared-types';
import { evaluationRefusal, type KeptMedia } from '../evaluation/decide.ts';
import { isPhotoShown } from '../evaluation/register.ts';
import type { MediaState } from '../evaluation/state.ts';
import { audienceOf, seesTrials } from '../evaluation/visibility.ts';
import { strip } from '../media/strip.ts';
import { Unfit } from '../media/unfit.ts';
import type { Upload } from '../ports/media-files.ts';
import { protocolOf, whyReadOnly, type App, type LiveEvaluation } from './app.ts';

/** Files that one seat may have on their way at a time. */
const MOST_UNFINISHED = 8;

const noUpload = (): Outcome<never> =>
  refused('unknown-thing', 'There is no such upload. Begin again.');

/** Whose an upload is: the seat that sends it, and the evaluation, or the panel from which a specimen is shown. */
export type UploadHome = Pick<Upload, 'log' | 'seat'>;

/** Begins an upload of `length` bytes for who may; its id is that of the photo or clip to be. */
export const beginUpload = async (
  app: App,
  { log, seat }: UploadHome,
  length: number,
): Promise<Outcome<string>> => {
  const readOnly = whyReadOnly(app);
  if (readOnly !== null) return refused('read-only', readOnly);
  if ((await app.media.unfinished(seat)) >= MOST_UNFINISHED) {
    const most = String(MOST_UNFINISHED);
    return refused('too-many-tries', `${most} uploads wait to be finished. Cancel one first.`);
  }
  const media = app.ids.id('md');
  await app.media.begin({ media, log, seat, length });
  return done(media);
};

/** An upload that this seat began here; anybody else's is not there. */
export const ownUpload = async (
  app: App,
  { log, seat }: UploadHome,
  media: string,
): Promise<Outcome<Upload>> => {
  const upload = await app.media.find(media);
  return upload?.seat === seat && upload.log === log ? done(upload) : noUpload();
};

/**
 * A finished upload, cleaned and kept among the files of `keeper`. Undefined when it is not there or not whole: its command
 * may be a resend. A file that cannot be kept is forgotten.
 */
export const keepUpload = async (
  app: App,
  home: UploadHome,
  media: string,
  { keeper, photo }: { keeper: string; photo: boolean },
): Promise<Outcome<KeptMedia> | undefined> => {
  const upload = await ownUpload(app, home, media);
  if (!upload.ok || upload.value.offset !== upload.value.length) return undefined;
  try {
    const { type, bytes } = strip(await app.media.read(media), app.media.limits.photo);
    if (photo && type.startsWith('video/')) {
      throw new Unfit('A specimen is shown by photos. Attach a clip to a trial or task.');
    }
    const sha256 = await app.media.keep(keeper, bytes);
    return done({ media, type, size: bytes.length, sha256 });
  } catch (error) {
    if (!(error instanceof Unfit)) throw error;
    await app.media.drop(media);
    return refused('bad-input', error.message);
  }
};

/** What `attach-media` needs. Undefined for every other command and for one that is not allowed. */
export const prepareUpload = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
  command: EvaluationCommand,
): Promise<Outcome<KeptMedia> | undefined> => {
  if (command.type !== 'attach-media') return undefined;
  if (evaluationRefusal(live.state, command.type, seat) || whyReadOnly(app) !== null)
    return undefined;
  const to = { keeper: live.id, photo: false };
  return keepUpload(app, { log: live.id, seat }, command.media, to);
};

const isHeld = (live: LiveEvaluation, sha256: string): boolean =>
  [...live.state.media.values()].some((m) => m.removed === null && m.sha256 === sha256);

/**
 * ME-19: after the decision: of an upload that was attached the raw bytes go, of one that was refused the kept file; of a
 * removed photo or clip the file. A file goes only when no standing one has its hash.
 */
export const settleMedia = async (
  app: App,
  live: LiveEvaluation,
  command: EvaluationCommand,
  upload: KeptMedia | undefined,
): Promise<void> => {
  if (command.type === 'attach-media') {
    if (live.state.media.has(command.media)) await app.media.drop(command.media);
    if (upload && !isHeld(live, upload.sha256)) await app.media.erase(live.id, upload.sha256);
  }
  if (command.type === 'remove-media') {
    const gone = live.state.media.get(command.media);
    if (gone?.removed && !isHeld(live, gone.sha256)) await app.media.erase(live.id, gone.sha256);
  }
};

/** Whether the log says of this file that it was removed, and nothing else of the log has it. */
const isRemoved = async (app: App, log: string, sha256: string): Promise<boolean> => {
  if (log.startsWith('rg_')) {
    const { state } = await app.logs.register(log);
    const all = [...state.values()].flatMap((p) => [...p.photos.values()]);
    return all.some((p) => p.sha256 === sha256) && !isPhotoShown(state, sha256);
  }
  const live = await app.logs.evaluation(log);
  if (!live || isHeld(live, sha256)) return false;
  return [...live.state.media.values()].some((m) => m.sha256 === sha256);
};

/**
 * ME-19: a removed photo or clip whose file a kill left on the disk goes at the next start. A file that is not on record is
 * left alone: after an older backup was restored, it may be one that the newer store knows.
 */
export const sweepMedia = async (app: App): Promise<void> => {
  const mine = new Set((await app.store.logs()).map(({ log }) => log));
  for (const { log, sha256 } of await app.media.kept()) {
    if (mine.has(log) && (await isRemoved(app, log, sha256))) await app.media.erase(log, sha256);
  }
};

/** ME-15: a photo or clip for whoever may see the trials now; for anybody else it is not there. */
export const mediaFor = (
  app: App,
  live: LiveEvaluation,
  seat: string,
  media: string,
): MediaState | undefined => {
  const audience = audienceOf(live.state, seat);
  const policy = protocolOf(app, live.state).protocol;
  const found = live.state.media.get(media);
  const sees = audience !== undefined && seesTrials(live.state, audience, policy);
  return sees && found?.removed === null ? found : undefined;
};
