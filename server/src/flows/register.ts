import {
  done,
  type EvaluationEvent,
  type Outcome,
  type PanelCommand,
  type RegisterEvent,
  type SpecimenPhotoCommand,
  type SpecimenPhotoEvent,
} from '@unhindered/shared-types';
import type { KeptMedia } from '../evaluation/decide.ts';
import {
  decideCorrection,
  decideOnPhoto,
  decideRegister,
  decideRetirement,
  evaluationsWith,
} from '../evaluation/register.ts';
import { concerns } from '../evaluation/specimen-photos.ts';
import type { EvaluationState } from '../evaluation/state.ts';
import type { App } from './app.ts';
import type { LiveRegister } from './live-log.ts';

/** A panel's command on the register of its workspace. */
export type RegisterCommand = Extract<
  PanelCommand,
  {
    type:
      'register-specimen' | 'correct-specimen' | 'retire-specimen' | SpecimenPhotoCommand['type'];
  }
>;

const COMMANDS: readonly string[] = [
  'register-specimen',
  'correct-specimen',
  'retire-specimen',
  'add-specimen-photo',
  'caption-specimen-photo',
  'remove-specimen-photo',
] satisfies RegisterCommand['type'][];

export const isRegisterCommand = (command: PanelCommand): command is RegisterCommand =>
  COMMANDS.includes(command.type);

export const isPhotoCommand = (command: PanelCommand): command is SpecimenPhotoCommand =>
  isRegisterCommand(command) && command.type.endsWith('-photo');

/**
 * SP-4: the register of the workspace: one log for all its panels. Before its first event its id follows from the panels
 * there are, so that two processes on one store begin the same one.
 */
export const registerOf = async (app: App): Promise<LiveRegister> => {
  const logs = (await app.store.logs()).map(({ log }) => log).toSorted();
  const known = logs.find((log) => log.startsWith('rg_'));
  const panel = logs.find((log) => log.startsWith('pn_')) ?? app.ids.id('pn');
  return app.logs.register(known ?? `rg_${panel.slice('pn_'.length)}`);
};

type Mirrored = SpecimenPhotoEvent | Extract<EvaluationEvent, { type: 'specimen-corrected' }>;

/** Whether an event of the register belongs into the log of an evaluation as it stands. */
const belongsIn = (state: EvaluationState, event: Mirrored): boolean => {
  const registered = state.created?.registered;
  const pieces = registered ? [registered, ...registered.parts] : [];
  // A kit may have got other pieces since.
  if (pieces.every((p) => p.specimen !== event.data.specimen)) return false;
  const over = state.stage === 'locked' || state.stage === 'withdrawn';
  return event.type === 'specimen-corrected' ? !over : concerns(state.specimenPhotos, event, over);
};

/**
 * SP-5: a correction stands also in the log of each evaluation of the specimen that is not locked, so that its bundle
 * holds the old description and the new one. What is locked keeps what it was locked with. SP-9: the same for photos; but
 * that the file of one is gone, which changes no figure, every evaluation says that holds it.
 */
const inEvaluations = async (
  app: App,
  register: LiveRegister,
  events: readonly Mirrored[],
): Promise<{ log: string; events: readonly Mirrored[] }[]> => {
  const found: { log: string; events: readonly Mirrored[] }[] = [];
  for (const event of events) {
    for (const { evaluation: log } of evaluationsWith(register.state, event.data.specimen)) {
      const state = (await app.logs.evaluationNow(log))?.state;
      if (state && belongsIn(state, event)) found.push({ log, events: [event] });
    }
  }
  return found;
};

/** What a command on the register appends, to the register and beyond it, and the specimen it is about. */
export const decideOnRegister = async (
  app: App,
  register: LiveRegister,
  command: RegisterCommand,
  upload: KeptMedia | undefined,
): Promise<
  Outcome<{
    specimen: string;
    events: { log: string; events: readonly (RegisterEvent | Mirrored)[] }[];
  }>
> => {
  const specimen = 'specimen' in command ? command.specimen : app.ids.id('sp');
  if (command.type === 'correct-specimen' || isPhotoCommand(command)) {
    const decided: Outcome<Mirrored[]> =
      command.type === 'correct-specimen'
        ? decideCorrection(register.state, specimen, command.details, command.reason)
        : decideOnPhoto(register.state, command, upload);
    if (!decided.ok) return decided;
    const events = decided.value;
    const elsewhere = await inEvaluations(app, register, events);
    return done({ specimen, events: [{ log: register.id, events }, ...elsewhere] });
  }
  const decided =
    command.type === 'register-specimen'
      ? decideRegister(register.state, specimen, command.details)
      : decideRetirement(register.state, specimen, command.reason);
  if (!decided.ok) return decided;
  return done({ specimen, events: [{ log: register.id, events: decided.value }] });
};

/** Logs beside the panel's own that a command may write to. */
export const logsBeside = async (app: App, command: PanelCommand): Promise<string[]> => {
  const used = command.type === 'create-evaluation' && command.registered !== undefined;
  if (!used && !isRegisterCommand(command)) return [];
  const register = await registerOf(app);
  const told = command.type === 'correct-specimen' || isPhotoCommand(command);
  const uses = told ? evaluationsWith(register.state, command.specimen) : [];
  return [register.id, ...uses.map((u) => u.evaluation)];
};
