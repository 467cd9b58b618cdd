import {
  done,
  type CommandAnswer,
  type CommandMessage,
  type CommandResult,
  type EvaluationEvent,
  type Outcome,
  type PanelCommand,
  type PanelEvent,
} from '@unhindered/shared-types';
import type { KeptMedia } from '../evaluation/decide.ts';
import { decidePanel, mirrorToEvaluation, panelRefusal } from '../evaluation/panel-decide.ts';
import type { Batch, Session } from '../ports/store.ts';
import { protocolOf, type App, type Identity, type LivePanel } from './app.ts';
import { arrivalRows, endedByAdmission, isArrivalCommand } from './admit-arrival.ts';
import { makeChange, type Change } from './change.ts';
import { createEvaluation, isLocked } from './create-evaluation.ts';
import { briefingOf, briefingsOf } from './briefing.ts';
import { newInvitation } from './invite.ts';
import { earlierAnswer, keptAnswer, provenanceOf } from './replay.ts';
import { decideOnRegister, isRegisterCommand, logsBeside, registerOf } from './register.ts';
import { secretHash } from './secrets.ts';
import { withPhotoFile } from './specimen-photos.ts';

type Message = Extract<CommandMessage, { on: 'panel' }>;
type Events = Change<unknown>['events'];

/** What the panel's events mean in the logs of its evaluations, and the documents they need. */
export const mirrored = async (
  app: App,
  panel: LivePanel,
  events: readonly PanelEvent[],
): Promise<{ events: Events; documents: NonNullable<Batch['documents']> }> => {
  const result: Events = [];
  const documents: { id: string; log: string; kind: 'sheet' }[] = [];
  for (const { evaluation } of panel.state.evaluations) {
    const live = await app.logs.evaluation(evaluation);
    if (!live) continue;
    const { protocol } = protocolOf(app, live.state);
    const briefing = briefingOf(protocol);
    const own = events.flatMap((e): EvaluationEvent[] =>
      mirrorToEvaluation(e, live.state, { protocol, briefing, newDocument: app.ids.id('dc') }),
    );
    for (const e of own) {
      if (e.type !== 'sheet-added') continue;
      documents.push({ id: e.data.document, log: evaluation, kind: 'sheet' });
    }
    if (own.length > 0) result.push({ log: evaluation, events: own });
  }
  return { events: result, documents };
};

/** AC-13: adding a device leaves the others as they are; moving ends this one, or all when the moderator moves. */
const endsOf = (command: PanelCommand, taken: boolean, session: string): string | null => {
  if (command.type === 'move-device') return session;
  return command.type === 'invite' && command.move === true && taken ? 'all' : null;
};

/** A fresh invitation: to a seat on offer, or for a further or another device of a seat that is taken. */
const invitationRows = (
  app: App,
  panel: LivePanel,
  command: PanelCommand,
  events: readonly PanelEvent[],
  who: { actor: string; session: string },
): { batch: Batch; result: CommandResult } => {
  const asked = command.type === 'invite' ? command : null;
  const offered = events.find((e) => e.type === 'seat-offered');
  const seat = offered?.data.seat ?? asked?.seat ?? who.actor;
  const taken = panel.state.seats.get(seat)?.state === 'taken';
  const to = { panel: panel.id, seat, kind: taken ? ('device' as const) : ('seat' as const) };
  const ends = endsOf(command, taken, who.session);
  const until = asked?.until ?? null;
  // Who makes a code for a further device of their own holds both: nobody else has to let it in.
  const open = asked === null || asked.open === true;
  const { invitation, result } = newInvitation(app, to, asked?.by ?? 'code', until, {
    ends,
    open,
  });
  return { batch: { invitations: [invitation] }, result };
};

/**
 * Rows that stand beside the panel's events: a fresh invitation; AC-9: with a seat that is revoked its sessions
 * end in the same commit, and its sockets right after.
 */
const accessRows = async (
  app: App,
  panel: LivePanel,
  command: PanelCommand,
  events: readonly PanelEvent[],
  { seat: actor, session }: Identity,
): Promise<{ batch: Batch; result?: CommandResult }> => {
  const inviting = ['invite', 'add-device', 'move-device'].includes(command.type);
  if (inviting) return invitationRows(app, panel, command, events, { actor, session });
  if (isArrivalCommand(command)) return { batch: await arrivalRows(app, panel, command) };
  if (command.type === 'erase-name') {
    const people = await app.store.people(panel.id);
    const person = people.find((p) => p.seat === command.seat);
    return { batch: person ? { people: [{ ...person, name: '', salt: '' }], scrub: true } : {} };
  }
  if (command.type === 'revoke-seat') {
    const sessions = await app.store.sessionsOf(command.seat);
    return { batch: { endSessions: sessions.map((s) => s.id) } };
  }
  return { batch: {} };
};

const decideOn = async (
  app: App,
  identity: Identity,
  message: Message,
  panel: LivePanel,
  upload: KeptMedia | undefined,
): Promise<Outcome<Change<CommandAnswer>>> => {
  const earlier = await earlierAnswer(app, identity.seat, message);
  if (earlier) return done({ events: [], value: earlier });
  const { command } = message;
  const finish = (events: Events, batch: Batch, result?: CommandResult): Change<CommandAnswer> => {
    const own = events.find((e) => e.log === panel.id)?.events.length ?? 0;
    const seq = panel.size + own;
    const value: CommandAnswer = result ? { ok: true, seq, result } : { ok: true, seq };
    const answers = [keptAnswer(identity.seat, message, value)];
    return { events, batch: { ...batch, answers }, value };
  };
  if (command.type === 'create-evaluation') {
    const barred = panelRefusal(panel.state, command.type, identity.seat);
    if (barred) return barred;
    const made = await createEvaluation(app, panel, command);
    return made.ok ? done(finish(made.value.events, made.value.batch, made.value.result)) : made;
  }
  if (isRegisterCommand(command)) {
    const barred = panelRefusal(panel.state, command.type, identity.seat);
    if (barred) return barred;
    const made = await decideOnRegister(app, await registerOf(app), command, upload);
    if (!made.ok) return made;
    const { specimen, events } = made.value;
    return done(finish(events, {}, { kind: 'specimen', specimen }));
  }
  const secret = app.ids.secret(32);
  const outcome = decidePanel(panel.state, command, {
    actor: identity.seat,
    newSeat: app.ids.id('st'),
    link: { id: app.ids.id('lk'), secretHash: secretHash(secret) },
    locked: command.type === 'publish-link' && (await isLocked(app, command.evaluation)),
    briefings: command.type === 'acknowledge-briefing' ? await briefingsOf(app, panel) : [],
  });
  if (!outcome.ok) return outcome;
  const [published] = outcome.value;
  if (published?.type === 'link-published') {
    const { link } = published.data;
    const events = [{ log: panel.id, events: outcome.value }];
    return done(finish(events, {}, { kind: 'link', link, secret }));
  }
  const elsewhere = await mirrored(app, panel, outcome.value);
  const { batch, result } = await accessRows(app, panel, command, outcome.value, identity);
  return done(
    finish(
      [{ log: panel.id, events: outcome.value }, ...elsewhere.events],
      { ...batch, documents: elsewhere.documents },
      result,
    ),
  );
};

/** Sessions that a command ends, as they are before it. */
const endedBy = async (app: App, panel: LivePanel, command: PanelCommand): Promise<Session[]> => {
  if (command.type === 'revoke-seat') return app.store.sessionsOf(command.seat);
  return isArrivalCommand(command) ? endedByAdmission(app, panel, command) : [];
};

/** Runs one command on a panel, and carries it into the panel's evaluations in the same commit. */
export const runPanelCommand = async (
  app: App,
  identity: Identity,
  message: Message,
): Promise<CommandAnswer> => {
  const panel = await app.logs.panelNow(message.panel);
  if (!panel || panel.id !== identity.panel) {
    const rejection = { code: 'unknown-thing' as const, message: 'There is no such panel.' };
    return { ok: false, rejection };
  }
  const { command } = message;
  const ending = await endedBy(app, panel, command);
  const role = panel.state.seats.get(identity.seat)?.role;
  const provenance = provenanceOf(identity, message, role);
  const own = [panel.id, ...panel.state.evaluations.map((e) => e.evaluation)];
  const logs = [...own, ...(await logsBeside(app, command))];
  const outcome = await withPhotoFile(app, { panel, seat: identity.seat }, command, (upload) =>
    makeChange(app, logs, provenance, () => decideOn(app, identity, message, panel, upload)),
  );
  if (outcome.ok && command.type === 'erase-name') {
    const person = app.names.get(command.seat);
    if (person) app.names.set(command.seat, { ...person, name: '', salt: '' });
  }
  if (outcome.ok && command.type === 'reopen-codes') {
    app.codes.reopen();
    app.changed(panel.id);
  }
  // Moderators at their desks see how many wait, though turning away is in no evaluation.
  if (outcome.ok && isArrivalCommand(command)) for (const log of logs) app.changed(log);
  if (outcome.ok && ending.length > 0)
    app.ended(
      ending.map((s) => s.id),
      command.type === 'revoke-seat' ? 'revoked' : 'moved',
    );
  return outcome.ok ? outcome.value : outcome;
};
