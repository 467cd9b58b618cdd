import { isUtf8 } from 'node:buffer';
import {
  done,
  refused,
  type CommandAnswer,
  type EvaluationCommand,
  type Outcome,
  type PaperCheck,
  type PanelEvent,
} from '@unhindered/shared-types';
import { readPaperList, type PaperList } from '../analysis/read-paper-list.ts';
import { sha256Hex } from '../audit/sha256.ts';
import { decide, evaluationRefusal, type PaperFile } from '../evaluation/decide.ts';
import { alikeNames } from '../evaluation/decide/paper.ts';
import { fitStanding } from '../evaluation/fit.ts';
import { lookAlike } from '../evaluation/look-alike.ts';
import { nextLetter } from '../evaluation/panel-state.ts';
import { activeSeats } from '../evaluation/state.ts';
import type { Person } from '../ports/store.ts';
import {
  nameOf,
  protocolOf,
  type App,
  type Identity,
  type LiveEvaluation,
  type LivePanel,
} from './app.ts';
import { makeChange, type Change } from './change.ts';
import { earlierAnswer, keptAnswer, provenanceOf } from './replay.ts';
import { nameHash } from './secrets.ts';

type Import = Extract<EvaluationCommand, { type: 'import-ratings' }>;

/** A command to bring a file in, as it came. */
export interface ImportMessage {
  id: string;
  clientAt: string;
  command: Import;
}

interface ReadFile extends PaperList {
  sha256: string;
  bytes: number;
}

const NOT_TEXT = {
  line: 1,
  column: '',
  fault: 'the file is not text in UTF-8',
  remedy: 'Save it as “CSV UTF-8” in the spreadsheet and choose it again.',
};

/** The file as it can be read; two names that look alike are a fault too. */
const readFile = (app: App, live: LiveEvaluation, bytes: Uint8Array): ReadFile => {
  const about = { sha256: sha256Hex(bytes), bytes: bytes.length };
  if (!isUtf8(bytes)) {
    return { rows: [], faults: [NOT_TEXT], whole: true, lines: 0, empty: 0, ignored: [], ...about };
  }
  const { protocol } = protocolOf(app, live.state);
  const list = readPaperList(new TextDecoder().decode(bytes), protocol);
  const alike = alikeNames(list.rows);
  // No line can be left out to mend this: nobody knows which of them is whose.
  const whole = list.whole || alike.length > 0;
  return { ...list, faults: [...list.faults, ...alike], whole, ...about };
};

/** What a file would bring in. Nothing is kept of it. */
export const checkPaper = (
  app: App,
  live: LiveEvaluation,
  identity: Identity,
  bytes: Uint8Array,
): Outcome<PaperCheck> => {
  const barred = evaluationRefusal(live.state, 'import-ratings', identity.seat);
  if (barred) return barred;
  const { rows, faults, whole, lines, empty, ignored, ...about } = readFile(app, live, bytes);
  const seats = activeSeats(live.state, 'reviewer').map(({ seat, letter }) => ({
    seat,
    letter,
    name: nameOf(app, seat),
  }));
  const names = [...new Set(rows.map((r) => r.reviewer))];
  const standing = fitStanding(live.state);
  return done({
    ...about,
    rows: lines,
    empty,
    faults: [...faults],
    whole,
    ignored,
    reviewers: names.map((reviewer) => ({
      reviewer,
      ratings: rows.filter((r) => r.reviewer === reviewer).length,
      seat: seats.find((s) => lookAlike(s.name, reviewer))?.seat ?? null,
    })),
    rounds: Math.max(0, ...rows.map((r) => r.round)),
    tasks: new Set(rows.map((r) => r.task)).size,
    of: protocolOf(app, live.state).protocol.sections.flatMap((s) => s.tasks).length,
    seats,
    fit: standing !== 'missing' && standing !== 'failed',
  });
};

/** The people of the file: matched to seats, or with fresh ones that nobody sits on. */
const seatThem = (
  app: App,
  panel: LivePanel,
  { seats }: Import,
): { seats: PaperFile['seats']; people: Person[] } => {
  const people: Person[] = [];
  const seated = seats.map(({ reviewer, seat: matched }) => {
    if (matched !== null) return { reviewer, seat: matched, made: null };
    const [seat, salt] = [app.ids.id('st'), app.ids.nonce()];
    const letter = nextLetter(panel.state, people.length);
    people.push({ seat, panel: panel.id, name: reviewer, salt, lead: false });
    return { reviewer, seat, made: { letter, nameHash: nameHash(salt, reviewer) } };
  });
  return { seats: seated, people };
};

/** PA-5: a new name that looks like a reviewer's of this evaluation has to be matched, or written otherwise. */
const alikeSeat = (app: App, live: LiveEvaluation, { seats }: Import) => {
  const there = activeSeats(live.state, 'reviewer').map((s) => nameOf(app, s.seat));
  const fresh = seats.filter((s) => s.seat === null);
  const found = fresh.find((s) => there.some((name) => lookAlike(name, s.reviewer)));
  return (
    found &&
    refused(
      'bad-input',
      `“${found.reviewer}” looks like a reviewer of this panel. Match the name to that seat, or add an initial in the file.`,
    )
  );
};

const decideOn = async (
  app: App,
  identity: Identity,
  { id, clientAt, command }: ImportMessage,
  { live, panel }: { live: LiveEvaluation; panel: LivePanel },
  bytes: Uint8Array,
): Promise<Outcome<Change<CommandAnswer>>> => {
  const message = { id, clientAt, on: 'evaluation' as const, evaluation: live.id, command };
  const earlier = await earlierAnswer(app, identity.seat, message);
  if (earlier) return done({ events: [], value: earlier });
  const barred = evaluationRefusal(live.state, command.type, identity.seat);
  const wrong = barred ?? alikeSeat(app, live, command);
  if (wrong) return wrong;
  const { seats, people } = seatThem(app, panel, command);
  const outcome = decide(live.state, command, {
    protocol: protocolOf(app, live.state).protocol,
    actor: identity.seat,
    software: app.software,
    newId: app.ids.id,
    sheets: [],
    paper: { ...readFile(app, live, bytes), seats },
  });
  if (!outcome.ok) return outcome;
  const made = seats.flatMap(({ seat, made: how }): PanelEvent[] =>
    how ? [{ type: 'paper-seat-made', data: { seat, ...how, evaluation: live.id } }] : [],
  );
  const answer: CommandAnswer = { ok: true, seq: live.size + outcome.value.length };
  for (const person of people) app.names.set(person.seat, person);
  return done({
    events: [
      { log: panel.id, events: made },
      { log: live.id, events: outcome.value },
    ],
    batch: { people, answers: [keptAnswer(identity.seat, message, answer)] },
    value: answer,
  });
};

/**
 * Brings ratings from paper into an evaluation that has not begun: seats, names, the ratings and the answer in one commit,
 * in the evaluation's log and the panel's. EV-7 holds: the same message again gets the same answer.
 */
export const importPaper = async (
  app: App,
  live: LiveEvaluation,
  identity: Identity,
  message: ImportMessage,
  bytes: Uint8Array,
): Promise<CommandAnswer> => {
  const panel = await app.logs.panelNow(identity.panel);
  if (!panel) return refused('unknown-thing', 'There is no such panel.');
  const role = live.state.seats.get(identity.seat)?.role;
  const provenance = provenanceOf(identity, message, role);
  const outcome = await makeChange(app, [panel.id, live.id], provenance, () =>
    decideOn(app, identity, message, { live, panel }, bytes),
  );
  return outcome.ok ? outcome.value : outcome;
};
