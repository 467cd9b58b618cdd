import {
  done,
  refused,
  type Outcome,
  type PanelCommand,
  type SpecimenPhoto,
  type SpecimenPhotoCommand,
} from '@unhindered/shared-types';
import type { KeptMedia } from '../evaluation/decide.ts';
import { panelRefusal } from '../evaluation/panel-decide.ts';
import {
  evaluationsWith,
  isPhotoShown,
  type RegisterState,
  type SpecimenState,
} from '../evaluation/register.ts';
import type { SpecimenPhotoState } from '../evaluation/specimen-photos.ts';
import { audienceOf, seesTrials } from '../evaluation/visibility.ts';
import type { Session } from '../ports/store.ts';
import { protocolOf, whyReadOnly, type App, type LiveEvaluation, type LivePanel } from './app.ts';
import type { LiveRegister } from './live-log.ts';
import { keepUpload } from './media.ts';
import { isPhotoCommand, registerOf } from './register.ts';
import { identityIn } from './sessions.ts';

/** What `add-specimen-photo` needs; undefined for one that is not allowed, or of a specimen that is not there. */
const prepared = async (
  app: App,
  register: LiveRegister,
  { panel, seat }: { panel: LivePanel; seat: string },
  command: SpecimenPhotoCommand,
): Promise<Outcome<KeptMedia> | undefined> => {
  if (command.type !== 'add-specimen-photo' || !register.state.has(command.specimen))
    return undefined;
  if (panelRefusal(panel.state, command.type, seat) || whyReadOnly(app) !== null) return undefined;
  const to = { keeper: register.id, photo: true };
  return keepUpload(app, { log: panel.id, seat }, command.photo, to);
};

/** ME-19 for a specimen: what was refused or removed leaves no file, unless another photo that stands has it. */
const settle = async (
  app: App,
  { id, state }: LiveRegister,
  command: SpecimenPhotoCommand,
  upload: KeptMedia | undefined,
): Promise<void> => {
  const photo = state.get(command.specimen)?.photos.get(command.photo);
  if (command.type === 'add-specimen-photo' && photo) await app.media.drop(command.photo);
  const gone = photo?.removed ? photo.sha256 : upload?.sha256;
  if (gone !== undefined && !isPhotoShown(state, gone)) await app.media.erase(id, gone);
};

/**
 * Runs a command of a panel with the file that it adds, if it adds one: kept before, and afterwards in step with what was
 * decided. Commands on the photos of one register come one after the other.
 */
export const withPhotoFile = async <T>(
  app: App,
  who: { panel: LivePanel; seat: string },
  command: PanelCommand,
  run: (upload: KeptMedia | undefined) => Promise<Outcome<T>>,
): Promise<Outcome<T>> => {
  if (!isPhotoCommand(command)) return run(undefined);
  const register = await registerOf(app);
  return app.media.inTurn(register.id, async () => {
    const upload = await prepared(app, register, who, command);
    if (upload && !upload.ok) return upload;
    const outcome = await run(upload?.value);
    await settle(app, register, command, upload?.value);
    return outcome;
  });
};

/** Whether an evaluation keeps its trials from the reader as things stand. */
const keepsBack = async (
  app: App,
  session: Session,
  { state }: LiveEvaluation,
): Promise<boolean> => {
  if (!state.created || state.locked || state.stage === 'withdrawn') return false;
  const { protocol } = protocolOf(app, state);
  const identity = await identityIn(app, session, state.created.panel);
  const audience = identity && audienceOf(state, identity.seat);
  // Who does not sit there is told no more than who watches there.
  return !seesTrials(state, audience ?? 'onlooker', protocol);
};

/**
 * SP-10: a photo is part of the description, for everybody who may read the register; but one that was added after an
 * evaluation of the specimen was made may show what its trials did to it. Nobody from whom that evaluation keeps its
 * trials (SE-12) is shown or told of it before. Returns the test of a photo for one reader.
 */
export const photoSight = async (
  app: App,
  session: Session,
  register: RegisterState,
  specimen: string,
): Promise<(photo: SpecimenPhotoState) => boolean> => {
  const since: string[] = [];
  for (const { evaluation, at } of evaluationsWith(register, specimen)) {
    const live = await app.logs.evaluationNow(evaluation);
    if (live && (await keepsBack(app, session, live))) since.push(at);
  }
  return ({ addedAt }) => since.every((at) => addedAt < at);
};

/** Photos of a specimen that stand and that the reader may see, oldest first. */
export const photosFor = async (
  app: App,
  session: Session,
  register: RegisterState,
  { specimen, photos }: SpecimenState,
): Promise<SpecimenPhoto[]> => {
  const sees = await photoSight(app, session, register, specimen);
  return [...photos.values()]
    .filter((p) => p.removed === null && sees(p))
    .map(({ photo, type, size, sha256, caption, addedAt }) => ({
      photo,
      type,
      size,
      sha256,
      caption,
      addedAt,
    }));
};

/** The file of a photo for whoever may see it; for anybody else it is not there. */
export const photoFile = async (app: App, session: Session, specimen: string, photo: string) => {
  const register = await registerOf(app);
  const piece = register.state.get(specimen);
  const shown = piece ? await photosFor(app, session, register.state, piece) : [];
  const found = shown.find((p) => p.photo === photo);
  const file = found && (await app.media.open(register.id, found.sha256));
  return found && file
    ? done({ type: found.type, file })
    : refused('unknown-thing', 'There is no such photo for you.');
};
