import type {
  CommandAnswer,
  CommandResult,
  Declaration,
  EvaluationCommand,
  PanelCommand,
  Role,
  SheetField,
} from '../../shared-types/src/index.ts';
import { SHEET_ROOT, sheetKey } from '../../shared-types/src/index.ts';
import * as Y from 'yjs';
import type { App, Identity, LiveEvaluation } from '../../server/src/flows/app.ts';
import { runEvaluationCommand } from '../../server/src/flows/run-evaluation-command.ts';
import { runPanelCommand } from '../../server/src/flows/run-panel-command.ts';
import { runWorkspaceCommand } from '../../server/src/flows/run-workspace-command.ts';
import { secretHash } from '../../server/src/flows/secrets.ts';
import { identityIn, newSession } from '../../server/src/flows/sessions.ts';
import { takeSeat } from '../../server/src/flows/take-seat.ts';
import type { Session } from '../../server/src/ports/store.ts';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';
import { DETAILS, SPECIMEN } from './specimen.ts';

export const CLIENT_AT = '2026-03-02T08:59:59.000Z';
let commands = 0;
export const commandId = (): string => `cm_${String(++commands).padStart(22, '0')}`;

const must = <T>(value: T | undefined | null, what: string): T => {
  if (value === undefined || value === null) throw new Error(`there is no ${what}`);
  return value;
};

/** A panel with its people, and the short ways to act as one of them. */
export interface SeatedPanel {
  lead: Session;
  panel: string;
  evaluation: string;
  moderator: Identity;
  reviewers: Identity[];
  live: () => Promise<LiveEvaluation>;
  onPanel: (who: Identity, command: PanelCommand) => Promise<CommandAnswer>;
  act: (who: Identity, command: EvaluationCommand, id?: string) => Promise<CommandAnswer>;
  sit: (role: Role, name: string) => Promise<Identity>;
  declare: (who: Identity, ties?: Declaration['ties']) => Promise<void>;
  /** Writes ratings into the store as the seat's sheet of a round; returns the document's id. */
  rate: (
    who: Identity,
    ratings: Record<string, number | string>,
    round?: number,
  ) => Promise<string>;
}

export const resultOf = (answer: CommandAnswer): CommandResult => {
  if (!answer.ok) throw new Error(`${answer.rejection.code}: ${answer.rejection.message}`);
  return must(answer.result, 'result');
};

export const accepted = (answer: CommandAnswer): void => {
  if (!answer.ok) throw new Error(`${answer.rejection.code}: ${answer.rejection.message}`);
};

/** The update that sets fields of a sheet, by one Yjs client of its own. */
export const sheetUpdate = (
  ratings: Record<string, number | string>,
  client: number,
  more: Record<string, Partial<Record<SheetField, unknown>>> = {},
): Uint8Array => {
  const doc = new Y.Doc();
  doc.clientID = client;
  const map = doc.getMap(SHEET_ROOT);
  doc.transact(() => {
    for (const [task, answer] of Object.entries(ratings)) map.set(sheetKey(task, 'answer'), answer);
    for (const [task, fields] of Object.entries(more)) {
      for (const [field, value] of Object.entries(fields)) {
        map.set(sheetKey(task, field as SheetField), value);
      }
    }
  });
  return Y.encodeStateAsUpdate(doc);
};

/** A lead with a panel, declared reviewers and one evaluation under the shipped protocol, its fit checked. */
export const seatedPanel = async (
  app: App,
  reviewers = 3,
  { fitted = true, registered = false }: { fitted?: boolean; registered?: boolean } = {},
): Promise<SeatedPanel> => {
  const lead = newSession(app, { seat: null, panel: null }).session;
  await app.store.commit({ sessions: [lead] });
  const made = resultOf(
    await runWorkspaceCommand(app, lead, {
      id: commandId(),
      clientAt: CLIENT_AT,
      on: 'workspace',
      command: { type: 'create-panel', title: 'Panel', occasion: '', moderatorName: 'Mo' },
    }),
  );
  const panel = made.kind === 'panel' ? made.panel : must<string>(null, 'panel');
  const moderator = must(await identityIn(app, lead, panel), 'moderator');
  const onPanel: SeatedPanel['onPanel'] = (who, command) =>
    runPanelCommand(app, who, {
      id: commandId(),
      clientAt: CLIENT_AT,
      on: 'panel',
      panel,
      command,
    });
  const sit: SeatedPanel['sit'] = async (role, name) => {
    const invite = {
      type: 'invite',
      role,
      label: '',
      by: 'code',
      until: null,
      seat: null,
    } as const;
    const invited = resultOf(await onPanel(moderator, invite));
    const secret = invited.kind === 'invitation' ? invited.secret : must<string>(null, 'secret');
    const taken = await takeSeat(app, { secret }, name);
    if (!taken.ok) throw new Error(taken.rejection.message);
    const session = must(await app.store.session(secretHash(taken.value.token)), 'session');
    return must(await identityIn(app, session, panel), 'identity');
  };
  const declare: SeatedPanel['declare'] = async (who, ties = []) =>
    accepted(
      await onPanel(who, {
        type: 'declare-interest',
        declaration: { ties, familiarity: 'none' },
      }),
    );
  await declare(moderator);
  const seats: Identity[] = [];
  for (let i = 0; i < reviewers; i++) {
    const who = await sit('reviewer', `Reviewer ${String(i + 1)}`);
    await declare(who);
    seats.push(who);
  }
  const piece = async (): Promise<{ specimen?: typeof SPECIMEN; registered?: string }> => {
    if (!registered) return { specimen: SPECIMEN };
    const line = resultOf(
      await onPanel(moderator, { type: 'register-specimen', details: DETAILS }),
    );
    return {
      registered: line.kind === 'specimen' ? line.specimen : must<string>(null, 'specimen'),
    };
  };
  const judged = await piece();
  const created = resultOf(
    await onPanel(moderator, {
      type: 'create-evaluation',
      title: 'Heron 3',
      ...judged,
      protocol: { id: 'emergency-access', version: '1.0.0' },
    }),
  );
  const evaluation =
    created.kind === 'evaluation' ? created.evaluation : must<string>(null, 'evaluation');
  const live = async (): Promise<LiveEvaluation> =>
    must(await app.logs.evaluation(evaluation), 'evaluation');
  const act: SeatedPanel['act'] = (who, command, id = commandId()) =>
    runEvaluationCommand(app, who, {
      id,
      clientAt: CLIENT_AT,
      on: 'evaluation',
      evaluation,
      command,
    });
  if (judged.registered !== undefined) {
    const details = { ...DETAILS, serial: 'HX-0471' };
    const reason = 'Two digits were exchanged.';
    const specimen = judged.registered;
    accepted(await onPanel(moderator, { type: 'correct-specimen', specimen, details, reason }));
  }
  if (fitted) accepted(await act(moderator, inventedFitCommand(moderator.seat)));
  let client = 1000;
  return {
    lead,
    panel,
    evaluation,
    moderator,
    reviewers: seats,
    live,
    onPanel,
    sit,
    declare,
    act,
    rate: async (who, ratings, round = 1) => {
      const { state } = await live();
      const sheets = state.rounds.find((r) => r.number === round)?.sheets;
      const document = must(sheets?.get(who.seat), 'sheet');
      const at = new Date(app.timers.now()).toISOString();
      const bytes = sheetUpdate(ratings, ++client);
      const write = { document, seat: who.seat, device: who.device, at, bytes };
      await app.store.commit({ writes: [{ ...write, newClients: [client] }] });
      return document;
    },
  };
};
