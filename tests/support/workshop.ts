import type {
  CommandAnswer,
  CommandResult,
  Protocol,
  WorkshopCommand,
} from '../../shared-types/src/index.ts';
import type { App } from '../../server/src/flows/app.ts';
import { runWorkspaceCommand } from '../../server/src/flows/run-workspace-command.ts';
import { newSession } from '../../server/src/flows/sessions.ts';
import type { Session } from '../../server/src/ports/store.ts';
import standard from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { CLIENT_AT, commandId } from './seated-panel.ts';

export const STANDARD = standard as Protocol;
export const COPY: WorkshopCommand = {
  type: 'begin-draft',
  from: { of: 'version', id: STANDARD.id, version: STANDARD.version },
};

/** The text of the shipped protocol with a change. */
export const changedText = (edit: (p: Protocol) => void): string => {
  const copy = structuredClone(STANDARD);
  edit(copy);
  return JSON.stringify(copy, null, 2);
};

export const leadOf = async (app: App): Promise<Session> => {
  const lead = newSession(app, { seat: null, panel: null }).session;
  await app.store.commit({ sessions: [lead] });
  return lead;
};

/** One command on the workspace's protocols. */
export const onWorkshop = (
  app: App,
  session: Session,
  command: WorkshopCommand,
  id = commandId(),
): Promise<CommandAnswer> =>
  runWorkspaceCommand(app, session, { id, clientAt: CLIENT_AT, on: 'workspace', command });

export const codeOf = (answer: CommandAnswer): string => (answer.ok ? 'ok' : answer.rejection.code);

/** What a command came to, of the kind that is expected. */
export const got = <K extends CommandResult['kind']>(
  answer: CommandAnswer,
  kind: K,
): Extract<CommandResult, { kind: K }> => {
  if (!answer.ok) throw new Error(`${answer.rejection.code}: ${answer.rejection.message}`);
  if (answer.result?.kind !== kind) throw new Error(`no ${kind}`);
  return answer.result as Extract<CommandResult, { kind: K }>;
};
