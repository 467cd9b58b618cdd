import {
  done,
  type CommandAnswer,
  type CommandMessage,
  type EvaluationCommand,
  type EvaluationEvent,
  type Outcome,
} from '@unhindered/shared-types';
import {
  decide,
  evaluationRefusal,
  type DecideContext,
  type KeptMedia,
} from '../evaluation/decide.ts';
import { currentRound } from '../evaluation/state.ts';
import type { Held } from '../ports/store.ts';
import { protocolOf, type App, type Identity, type LiveEvaluation } from './app.ts';
import { makeChange, type Change } from './change.ts';
import { prepareUpload, settleMedia } from './media.ts';
import { prepareLock } from './prepare-slices.ts';
import { freezeSheets, readSheets, unfreezeSheets, type ReadSheet } from './read-sheets.ts';
import { earlierAnswer, keptAnswer, provenanceOf } from './replay.ts';

type Message = Extract<CommandMessage, { on: 'evaluation' }>;

/** Seats whose sheets a command needs to read: all of the round to open it, one's own to catch up. */
const seatsToRead = (
  live: LiveEvaluation,
  command: EvaluationCommand,
  actor: string,
): readonly string[] => {
  if (command.type === 'open-round') return [...(currentRound(live.state)?.sheets.keys() ?? [])];
  if (command.type === 'finish-sheet' && live.state.stage === 'opened') return [actor];
  return [];
};

const documentsOf = (live: LiveEvaluation, seats: readonly string[]): string[] =>
  seats.flatMap((seat) => currentRound(live.state)?.sheets.get(seat) ?? []);

/** New sheets that the events speak of, and the documents that the stage closes for good. */
const documentChanges = (
  live: LiveEvaluation,
  events: readonly EvaluationEvent[],
  read: readonly ReadSheet[],
) => {
  const documents = events.flatMap((e) =>
    e.type === 'round-started'
      ? e.data.sheets.map((s) => ({ id: s.document, log: live.id, kind: 'sheet' as const }))
      : [],
  );
  const over = events.some(
    (e) => e.type === 'evaluation-locked' || e.type === 'evaluation-withdrawn',
  );
  const all = live.state.rounds.flatMap((r) => [...r.sheets.values()]);
  const board = live.state.created?.board;
  const closed = over && board !== undefined ? [...all, board] : [];
  const freeze = [
    // SE-9: the sheets are closed as they were read, or read again: nothing kept is left out of the record.
    ...read.map(({ document, updates }) => ({ document, updates })),
    ...closed.map((document) => ({ document, updates: null })),
  ];
  return { documents, freeze };
};

/** The evaluation that a command names as another one's successor. It may belong to any panel of the workspace. */
const successorOf = async (
  app: App,
  command: EvaluationCommand,
): Promise<DecideContext['successor']> => {
  if (command.type !== 'supersede') return undefined;
  const other = (await app.logs.evaluation(command.by))?.state;
  return (
    other && {
      evaluation: command.by,
      lockedAt: other.locked?.at ?? null,
      withdrawn: other.stage === 'withdrawn',
      superseded: other.supersededBy !== null,
    }
  );
};

/** Sheets that are held for one command, once it was seen that others go on writing to them. */
interface Hold {
  tries: number;
  held?: Held | undefined;
}

/**
 * SE-14: a second try to read the sheets holds them in the store first: at other processes people may type faster than
 * sheets are read, and an opening would never find them as it read them.
 */
const holdSheets = async (app: App, hold: Hold, documents: readonly string[]): Promise<void> => {
  await hold.held?.release();
  hold.held = hold.tries++ > 0 ? await app.store.hold?.(documents) : undefined;
};

const decideOn = async (
  app: App,
  identity: Identity,
  message: Message,
  live: LiveEvaluation,
  upload: KeptMedia | undefined,
  hold: Hold,
): Promise<Outcome<Change<CommandAnswer>>> => {
  const earlier = await earlierAnswer(app, identity.seat, message);
  if (earlier) return done({ events: [], value: earlier });
  const { command } = message;
  // SE-10: asked before any sheet is touched: who may not open a round cannot make the server read one either.
  const barred = evaluationRefusal(live.state, command.type, identity.seat);
  if (barred) return barred;
  const seats = seatsToRead(live, command, identity.seat);
  const frozen = documentsOf(live, seats);
  if (frozen.length > 0) {
    await freezeSheets(app, frozen);
    await holdSheets(app, hold, frozen);
  }
  const round = currentRound(live.state);
  const read = round && frozen.length > 0 ? await readSheets(app, live, round, seats) : [];
  if (command.type === 'lock') await prepareLock(app, live);
  const outcome = decide(live.state, command, {
    protocol: protocolOf(app, live.state).protocol,
    actor: identity.seat,
    software: app.software,
    newId: app.ids.id,
    sheets: read.map((r) => r.sheet),
    successor: await successorOf(app, command),
    upload,
  });
  if (!outcome.ok) return outcome;
  const events = outcome.value;
  const answer: CommandAnswer = { ok: true, seq: live.size + events.length };
  return done({
    events: [{ log: live.id, events }],
    batch: {
      ...documentChanges(live, events, read),
      held: hold.held,
      answers: [keptAnswer(identity.seat, message, answer)],
    },
    value: answer,
  });
};

const runOn = async (
  app: App,
  identity: Identity,
  message: Message,
  live: LiveEvaluation,
): Promise<CommandAnswer> => {
  const role = live.state.seats.get(identity.seat)?.role;
  const provenance = provenanceOf(identity, message, role);
  const upload = await prepareUpload(app, live, identity.seat, message.command);
  if (upload && !upload.ok) return upload;
  let kept = false;
  const hold: Hold = { tries: 0 };
  try {
    const outcome = await makeChange(app, [live.id], provenance, () =>
      decideOn(app, identity, message, live, upload?.value, hold),
    );
    kept = outcome.ok;
    await settleMedia(app, live, message.command, upload?.value);
    return outcome.ok ? outcome.value : outcome;
  } finally {
    await hold.held?.release();
    // Refused or failed: what was closed to be read can be written again.
    if (!kept) {
      const seats = seatsToRead(live, message.command, identity.seat);
      unfreezeSheets(app, documentsOf(live, seats));
    }
  }
};

/**
 * AC-10: an evaluation of another panel answers like one that does not exist.
 * Runs one command on an evaluation: load, decide, commit, publish; the answer says what became of it.
 */
export const runEvaluationCommand = async (
  app: App,
  identity: Identity,
  message: Message,
): Promise<CommandAnswer> => {
  const live = await app.logs.evaluationNow(message.evaluation);
  if (live?.state.created?.panel !== identity.panel) {
    const rejection = { code: 'unknown-thing' as const, message: 'There is no such evaluation.' };
    return { ok: false, rejection };
  }
  const run = (): Promise<CommandAnswer> => runOn(app, identity, message, live);
  const files = message.command.type === 'attach-media' || message.command.type === 'remove-media';
  return files ? app.media.inTurn(live.id, run) : run();
};
