import {
  done,
  type EvaluationEvent,
  type Outcome,
  type PanelCommand,
  type RegisterEvent,
} from '@unhindered/shared-types';
import {
  decideCorrection,
  decideRegister,
  decideRetirement,
  evaluationsWith,
} from '../evaluation/register.ts';
import type { App } from './app.ts';
import type { LiveRegister } from './live-log.ts';

/** A panel's command on the register of its workspace. */
export type RegisterCommand = Extract<
  PanelCommand,
  { type: 'register-specimen' | 'correct-specimen' | 'retire-specimen' }
>;

export const isRegisterCommand = (command: PanelCommand): command is RegisterCommand =>
  ['register-specimen', 'correct-specimen', 'retire-specimen'].includes(command.type);

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

type Corrected = Extract<EvaluationEvent, { type: 'specimen-corrected' }>;

/**
 * SP-5: a correction stands also in the log of each evaluation of the specimen that is not locked, so that its bundle
 * holds the old description and the new one. What is locked keeps what it was locked with.
 */
const inEvaluations = async (
  app: App,
  register: LiveRegister,
  events: readonly Corrected[],
): Promise<{ log: string; events: readonly Corrected[] }[]> => {
  const found: { log: string; events: readonly Corrected[] }[] = [];
  for (const event of events) {
    for (const id of evaluationsWith(register.state, event.data.specimen)) {
      const stage = (await app.logs.evaluationNow(id))?.state.stage ?? 'locked';
      if (stage !== 'locked' && stage !== 'withdrawn') found.push({ log: id, events: [event] });
    }
  }
  return found;
};

/** What a command on the register appends, to the register and beyond it, and the specimen it is about. */
export const decideOnRegister = async (
  app: App,
  register: LiveRegister,
  command: RegisterCommand,
): Promise<
  Outcome<{
    specimen: string;
    events: { log: string; events: readonly (RegisterEvent | Corrected)[] }[];
  }>
> => {
  const specimen = 'specimen' in command ? command.specimen : app.ids.id('sp');
  if (command.type === 'correct-specimen') {
    const { details, reason } = command;
    const decided = decideCorrection(register.state, specimen, details, reason);
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
  const about = command.type === 'correct-specimen' ? command.specimen : null;
  return [register.id, ...(about === null ? [] : evaluationsWith(register.state, about))];
};
