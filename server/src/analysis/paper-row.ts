import {
  instant,
  personName,
  ratingFault,
  shortReason,
  text,
  type Answer,
  type PaperRow,
  type Protocol,
  type ProtocolTask,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import type { PaperColumn, PaperPlaces } from './paper-columns.ts';
import type { ListFault } from './rating-list.ts';

/** Words for answers off the scale, as people and the open data write them. */
const OFF: ReadonlyMap<string, Answer> = new Map([
  ['na', 'not-applicable'],
  ['n/a', 'not-applicable'],
  ['not applicable', 'not-applicable'],
  ['not-applicable', 'not-applicable'],
  ['not observed', 'not-observed'],
  ['not-observed', 'not-observed'],
  ['abstained', 'abstained'],
]);

const YES = new Set(['yes', 'y', 'true', '1', 'x']);
const NO = new Set(['', 'no', 'n', 'false', '0']);

const cut = (raw: string): string => (raw.length > 40 ? `${raw.slice(0, 40)}...` : raw);

/** A cell that a spreadsheet must not take for a formula has an apostrophe in front, in our own files. */
const withoutGuard = (raw: string): string => raw.replace(/^'(?='*[=+\-@\t\r\n＝＋－＠])/u, '');

/** The tasks of a protocol under their ids and titles. */
export const taskNames = (tasks: readonly ProtocolTask[]): ReadonlyMap<string, string> =>
  new Map([
    ...tasks.map((t): [string, string] => [t.title.toLowerCase(), t.id]),
    ...tasks.map((t): [string, string] => [t.id, t.id]),
  ]);

interface Reading {
  protocol: Protocol;
  tasks: ReadonlyMap<string, string>;
  places: PaperPlaces;
}

/** Reads the cells of one row, collecting what is wrong with each. */
class PaperCells {
  readonly faults: ListFault[] = [];
  readonly #cells: readonly string[];
  readonly #reading: Reading;
  readonly #line: number;

  constructor(cells: readonly string[], reading: Reading, line: number) {
    this.#cells = cells;
    this.#reading = reading;
    this.#line = line;
  }

  raw(column: PaperColumn): string {
    const place = this.#reading.places.get(column);
    return place === undefined ? '' : (this.#cells[place] ?? '').trim();
  }

  fault(column: PaperColumn, fault: string, remedy: string): void {
    this.faults.push({ line: this.#line, column, fault, remedy });
  }

  /** A cell of text as the log keeps it; null when it is blank. */
  text(column: PaperColumn, schema: v.GenericSchema<string, string>): string | null {
    const raw = withoutGuard(this.raw(column));
    if (raw === '') return null;
    const parsed = v.safeParse(schema, raw);
    if (parsed.success) return parsed.output;
    this.fault(column, `the ${column} cannot be kept`, parsed.issues[0].message);
    return null;
  }

  yes(column: PaperColumn): boolean {
    const raw = this.raw(column).toLowerCase();
    if (!YES.has(raw) && !NO.has(raw)) {
      this.fault(column, `"${cut(raw)}" is neither yes nor no`, 'Write yes or no.');
    }
    return YES.has(raw);
  }

  task(): string {
    const raw = this.raw('task');
    const id = this.#reading.tasks.get(raw.normalize('NFC').toLowerCase());
    if (id === undefined) {
      const what = raw === '' ? 'no task is named' : `the protocol has no task "${cut(raw)}"`;
      this.fault('task', what, 'Write the id or the title of a task of this protocol.');
    }
    return id ?? '';
  }

  reviewer(): string {
    const raw = withoutGuard(this.raw('reviewer'));
    const parsed = v.safeParse(personName(1, 80), raw);
    if (parsed.success) return parsed.output;
    const remedy = raw === '' ? 'Name the reviewer.' : parsed.issues[0].message;
    this.fault('reviewer', raw === '' ? 'the name is empty' : 'the name cannot be used', remedy);
    return '';
  }

  round(): number {
    const raw = this.raw('round');
    const limit = this.#reading.protocol.rounds.limit;
    if (raw === '') return 1;
    const round = /^\d{1,2}$/u.test(raw) ? Number(raw) : 0;
    if (round < 1 || round > limit) {
      const remedy = `Count rounds from 1; the protocol allows ${String(limit)}.`;
      this.fault('round', `"${cut(raw)}" is not a round`, remedy);
    }
    return round;
  }

  /** The answer and its step; undefined where there is no rating. */
  answer(): { answer: Answer; step: number | null } | undefined {
    const [said, raw] = [this.raw('answer').toLowerCase(), this.raw('rating')];
    const { min, max } = this.#reading.protocol.scale;
    const off = OFF.get(raw.toLowerCase()) ?? (raw === '' ? OFF.get(said) : undefined);
    if (off) return { answer: off, step: null };
    if (raw === '' && (said === '' || said === 'step')) return undefined;
    if (said !== '' && said !== 'step') {
      this.fault('answer', `"${cut(said)}" does not go with a rating`, 'Keep one of the two.');
    } else if (/^[+-]?\d{1,3}(?:[.,]0+)?$/u.test(raw)) {
      const step = Number(raw.replace(',', '.'));
      if (step >= min && step <= max) return { answer: 'step', step: step + 0 };
    }
    const remedy = `Write a whole point from ${String(min)} to ${String(max)}, N/A with a reason, or leave it blank.`;
    this.fault('rating', `"${cut(raw)}" is not a rating`, remedy);
    return { answer: 'step', step: null };
  }
}

/** One row of a file as a rating; `rating` null when it has none; or everything that is wrong with it. */
export const paperRow = (
  cells: readonly string[],
  reading: Reading,
  line: number,
): { row: PaperRow | null; faults: ListFault[] } => {
  const read = new PaperCells(cells, reading, line);
  const [task, reviewer, round] = [read.task(), read.reviewer(), read.round()];
  const given = read.answer();
  // The open data marks what a later rating took the place of.
  const stands = !reading.places.has('stands') || read.yes('stands');
  const note = read.text('note', text(1, 2000));
  const reason = read.text('reason', shortReason);
  const critical = read.text('critical', text(3, 1000));
  const at = read.text('rated_at', instant);
  const easier = read.yes('easier');
  if (!given || !stands) return { row: null, faults: read.faults };
  const rating = { ...given, easier, reason, critical, note, at };
  const wrong = read.faults.length > 0 ? undefined : ratingFault(rating, task, reading.protocol);
  if (wrong !== undefined) {
    const column = wrong.startsWith('Say why') ? 'reason' : rating.easier ? 'easier' : 'critical';
    read.fault(column, 'the rating cannot stand', wrong);
  }
  return { row: { line, task, reviewer, round, rating }, faults: read.faults };
};
