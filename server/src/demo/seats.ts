import { randomInt } from 'node:crypto';
import {
  heldRemarkKey,
  SHEET_ROOT,
  sheetKey,
  type CommandAnswer,
  type CommandResult,
  type Declaration,
  type EvaluationCommand,
  type PanelCommand,
  type Protocol,
  type SheetField,
} from '@unhindered/shared-types';
import * as Y from 'yjs';
import { briefingOf } from '../flows/briefing.ts';
import { nowText, type App, type Identity } from '../flows/app.ts';
import { runEvaluationCommand } from '../flows/run-evaluation-command.ts';
import { runPanelCommand } from '../flows/run-panel-command.ts';
import { runWorkspaceCommand } from '../flows/run-workspace-command.ts';
import { secretHash } from '../flows/secrets.ts';
import { identityIn, newSession } from '../flows/sessions.ts';
import { takeSeat } from '../flows/take-seat.ts';
import type { Session } from '../ports/store.ts';
import { DEMO_MODEL } from './fit.ts';
import type { SheetPlan } from './plan.ts';

/** The result of a command that the demonstration counts on. Throws with the server's words. */
export const must = (answer: CommandAnswer): CommandResult | undefined => {
  if (!answer.ok) throw new Error(`${answer.rejection.code}: ${answer.rejection.message}`);
  return answer.result;
};

const there = <T>(value: T | undefined, what: string): T => {
  if (value === undefined) throw new Error(`the demonstration got no ${what}`);
  return value;
};

/** One season's panel: its people act through the same flows as anybody. */
export interface DemoPanel {
  panel: string;
  moderator: Identity;
  /** By reviewer, 0 to 4. */
  reviewers: Identity[];
}

const envelope = (app: App) => ({ id: app.ids.id('cm'), clientAt: nowText(app) });

export const onPanel = async (
  app: App,
  who: Identity,
  command: PanelCommand,
): Promise<CommandResult | undefined> =>
  must(
    await runPanelCommand(app, who, {
      ...envelope(app),
      on: 'panel',
      panel: who.panel,
      command,
    }),
  );

export const onEvaluation = async (
  app: App,
  who: Identity,
  evaluation: string,
  command: EvaluationCommand,
): Promise<void> => {
  must(
    await runEvaluationCommand(app, who, {
      ...envelope(app),
      on: 'evaluation',
      evaluation,
      command,
    }),
  );
};

/** A panel with the lead in its moderator's seat. */
export const makePanel = async (
  app: App,
  lead: Session,
  title: string,
  occasion: string,
): Promise<DemoPanel> => {
  const made = must(
    await runWorkspaceCommand(app, lead, {
      ...envelope(app),
      on: 'workspace',
      command: {
        type: 'create-panel',
        title,
        occasion,
        moderatorName: 'Sports-medicine educator (invented)',
      },
    }),
  );
  const panel = there(made?.kind === 'panel' ? made.panel : undefined, 'panel');
  const moderator = there(await identityIn(app, lead, panel), 'moderator');
  await declare(app, moderator, []);
  return { panel, moderator, reviewers: [] };
};

/** The lead of the demonstration, signed in for as long as it takes. */
export const demoLead = async (app: App): Promise<Session> => {
  const { session } = newSession(app, { seat: null, panel: null });
  await app.store.commit({ sessions: [session] });
  return session;
};

const declare = async (app: App, who: Identity, ties: Declaration['ties']): Promise<void> => {
  const declaration = { ties, familiarity: 'handled' as const };
  await onPanel(app, who, { type: 'declare-interest', declaration });
};

/** Seats a reviewer who declares at once. */
export const seatReviewer = async (
  app: App,
  panel: DemoPanel,
  name: string,
  ties: Declaration['ties'],
): Promise<void> => {
  const invited = await onPanel(app, panel.moderator, {
    type: 'invite',
    role: 'reviewer',
    label: '',
    by: 'code',
    until: null,
    seat: null,
  });
  const secret = there(invited?.kind === 'invitation' ? invited.secret : undefined, 'invitation');
  const taken = await takeSeat(app, { secret }, name);
  if (!taken.ok) throw new Error(taken.rejection.message);
  const session = await app.store.session(secretHash(taken.value.token));
  const who = there(await identityIn(app, there(session, 'session'), panel.panel), 'seat');
  await declare(app, who, ties);
  panel.reviewers.push(who);
};

/** Everybody reads the briefing, and the invented model's consent is on record; once a panel is enough. */
export const startDay = async (
  app: App,
  { moderator, reviewers }: DemoPanel,
  protocol: Protocol,
): Promise<void> => {
  const text = briefingOf(protocol);
  for (const who of [moderator, ...reviewers]) {
    await onPanel(app, who, { type: 'acknowledge-briefing', text });
  }
  await onPanel(app, moderator, { type: 'record-consent', model: DEMO_MODEL, written: true });
};

/** Writes a sheet as its owner's device would, with a remark that waits in it for the opening. */
export const writeSheet = async (
  app: App,
  who: Identity,
  evaluation: string,
  plan: SheetPlan,
  remark: { task: string; text: string } | null = null,
): Promise<void> => {
  const live = there(await app.logs.evaluation(evaluation), 'evaluation');
  const document = there(live.state.rounds.at(-1)?.sheets.get(who.seat), 'sheet');
  const at = nowText(app);
  const doc = new Y.Doc();
  doc.clientID = randomInt(1, 2 ** 31);
  const map = doc.getMap(SHEET_ROOT);
  doc.transact(() => {
    for (const [task, fields] of plan) {
      for (const [field, value] of Object.entries({ ...fields, at })) {
        map.set(sheetKey(task, field as SheetField), value);
      }
    }
    if (!remark) return;
    map.set(heldRemarkKey(app.ids.id('').slice(1)), JSON.stringify({ ...remark, at }));
  });
  const { seat, device } = who;
  const bytes = Y.encodeStateAsUpdate(doc);
  const newClients = [doc.clientID];
  await app.store.commit({ writes: [{ document, seat, device, at, bytes, newClients }] });
};
