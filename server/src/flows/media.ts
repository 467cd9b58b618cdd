import { done, refused, type EvaluationCommand, type Outcome } from '@unhindered/shared-types';
import { evaluationRefusal, type KeptMedia } from '../evaluation/decide.ts';
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

/** Begins an upload of `length` bytes; its id is that of the photo or clip to be. */
export const beginUpload = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
  length: number,
): Promise<Outcome<string>> => {
  const barred = evaluationRefusal(live.state, 'attach-media', seat);
  if (barred) return barred;
  const readOnly = whyReadOnly(app);
  if (readOnly !== null) return refused('read-only', readOnly);
  if ((await app.media.unfinished(seat)) >= MOST_UNFINISHED) {
    const most = String(MOST_UNFINISHED);
    return refused('too-many-tries', `${most} uploads wait to be finished. Cancel one first.`);
  }
  const media = app.ids.id('md');
  await app.media.begin({ media, evaluation: live.id, seat, length });
  return done(media);
};

/** An upload that this seat began in this evaluation; anybody else's is not there. */
export const ownUpload = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
  media: string,
): Promise<Outcome<Upload>> => {
  const upload = await app.media.find(media);
  return upload?.seat === seat && upload.evaluation === live.id ? done(upload) : noUpload();
};

/**
 * What `attach-media` needs: the finished upload, cleaned and kept. Undefined for every other command, for one that is not
 * allowed, and for an upload that is not there (its command may be a resend). A file that cannot be kept is forgotten.
 */
export const prepareUpload = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
  command: EvaluationCommand,
): Promise<Outcome<KeptMedia> | undefined> => {
  if (command.type !== 'attach-media') return undefined;
  if (evaluationRefusal(live.state, command.type, seat) || whyReadOnly(app) !== null)
    return undefined;
  const { media } = command;
  const upload = await ownUpload(app, live, seat, media);
  if (!upload.ok || upload.value.offset !== upload.value.length) return undefined;
  try {
    const { type, bytes } = strip(await app.media.read(media), app.media.limits.photo);
    const sha256 = await app.media.keep(live.id, bytes);
    return done({ media, type, size: bytes.length, sha256 });
  } catch (error) {
    if (!(error instanceof Unfit)) throw error;
    await app.media.drop(media);
    return refused('bad-input', error.message);
  }
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

/**
 * ME-19: a removed photo or clip whose file a kill left on the disk goes at the next start. A file that is not on record is
 * left alone: after an older backup was restored, it may be one that the newer store knows.
 */
export const sweepMedia = async (app: App): Promise<void> => {
  const mine = new Set((await app.store.logs()).map(({ log }) => log));
  for (const { evaluation, sha256 } of await app.media.kept()) {
    const live = mine.has(evaluation) ? await app.logs.evaluation(evaluation) : undefined;
    if (!live || isHeld(live, sha256)) continue;
    const removed = [...live.state.media.values()].some((m) => m.sha256 === sha256);
    if (removed) await app.media.erase(evaluation, sha256);
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
