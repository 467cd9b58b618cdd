import {
  done,
  refused,
  type CommandAnswer,
  type CommandMessage,
  type PanelEvent,
} from '@unhindered/shared-types';
import type { Person, Session } from '../ports/store.ts';
import type { App } from './app.ts';
import { makeChange, type Change } from './change.ts';
import { earlierAnswer, keptAnswer } from './replay.ts';
import { nameHash } from './secrets.ts';
import { runWorkshopCommand } from './workshop.ts';

type Message = Extract<CommandMessage, { on: 'workspace' }>;
type CreatePanel = Extract<Message['command'], { type: 'create-panel' }>;

const LEAD = 'lead';

/** A new panel, with the lead in its first moderator's seat. */
const createPanel = (
  app: App,
  message: Message,
  { title, occasion, moderatorName }: CreatePanel,
): Change<CommandAnswer> => {
  const panel = app.ids.id('pn');
  const seat = app.ids.id('st');
  const salt = app.ids.nonce();
  const person: Person = { seat, panel, name: moderatorName, salt, lead: true };
  const data = { seat, role: 'moderator' as const, letter: null };
  const events: PanelEvent[] = [
    { type: 'panel-created', data: { panel, title, occasion } },
    { type: 'seat-offered', data: { ...data, label: '' } },
    { type: 'seat-taken', data: { ...data, nameHash: nameHash(salt, moderatorName) } },
  ];
  const answer: CommandAnswer = { ok: true, seq: 3, result: { kind: 'panel', panel } };
  app.names.set(seat, person);
  return {
    events: [{ log: panel, events }],
    batch: { people: [person], answers: [keptAnswer(LEAD, message, answer)] },
    value: answer,
  };
};

/** Runs one command on the workspace: of the lead, or on its protocols also of a moderator. */
export const runWorkspaceCommand = async (
  app: App,
  session: Session,
  message: Message,
): Promise<CommandAnswer> => {
  const { command } = message;
  if (command.type !== 'create-panel') {
    return runWorkshopCommand(app, session, { ...message, command });
  }
  if (session.seat !== null) {
    return refused('role-may-not', 'Only the lead makes panels.');
  }
  const provenance = {
    clientAt: message.clientAt,
    actor: LEAD,
    role: LEAD,
    device: session.device,
    cmd: message.id,
  };
  const outcome = await makeChange(app, [], provenance, async () => {
    const earlier = await earlierAnswer(app, LEAD, message);
    return done(earlier ? { events: [], value: earlier } : createPanel(app, message, command));
  });
  return outcome.ok ? outcome.value : outcome;
};
