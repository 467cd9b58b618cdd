import {
  done,
  MAX_LEFT_OUT,
  protocolTasks,
  refused,
  type EvaluationEvent,
  type Outcome,
  type PaperFault,
  type PaperRow,
  type Protocol,
} from '@unhindered/shared-types';
import { lookAlike } from '../look-alike.ts';
import type { EvaluationState } from '../state.ts';
import type { Handlers, PaperFile } from './context.ts';
import { fitFault } from './rounds.ts';

type Imported = Extract<EvaluationEvent, { type: 'ratings-imported' }>['data'];
type Rounds = Imported['rounds'];

/** Round 1 has every task, as a sealed one has; later rounds the tasks that were rated again. */
const roundsOf = (file: PaperFile, protocol: Protocol): Rounds => {
  const all = protocolTasks(protocol).map((t) => t.id);
  const last = Math.max(...file.rows.map((r) => r.round));
  return Array.from({ length: last }, (_, i) => {
    const rows = file.rows.filter((r) => r.round === i + 1);
    const rated = new Set(rows.map((r) => r.task));
    const sheets = file.seats.flatMap(({ reviewer, seat }) => {
      const own = new Map(
        rows.flatMap((r) => (r.reviewer === reviewer ? [[r.task, r.rating]] : [])),
      );
      const ratings = all.flatMap((task) => {
        const rating = own.get(task);
        return rating ? [{ task, rating }] : [];
      });
      return ratings.length === 0 ? [] : [{ seat, ratings }];
    });
    return { round: i + 1, tasks: i === 0 ? all : all.filter((t) => rated.has(t)), sheets };
  });
};

/** Why the people of the file cannot sit as the moderator says; undefined when they can. */
const seatFault = (
  state: EvaluationState,
  file: PaperFile,
): ReturnType<typeof refused> | undefined => {
  const named = new Set(file.seats.map((s) => s.reviewer));
  const missing = file.rows.find((r) => !named.has(r.reviewer));
  if (missing) {
    return refused(
      'bad-input',
      `Say who “${missing.reviewer}” of line ${String(missing.line)} is.`,
    );
  }
  const unknown = file.seats.find(({ reviewer }) =>
    file.rows.every((r) => r.reviewer !== reviewer),
  );
  if (unknown) {
    return refused('bad-input', `“${unknown.reviewer}” has no rating in the file. Leave them out.`);
  }
  if (
    new Set(file.seats.map((s) => s.seat)).size !== file.seats.length ||
    named.size !== file.seats.length
  ) {
    return refused('bad-input', 'Two people of the file have the same seat. Give each their own.');
  }
  for (const { seat, made, reviewer } of file.seats) {
    const known = state.seats.get(seat);
    if (made === null && (known?.role !== 'reviewer' || known.revoked)) {
      return refused('bad-input', `“${reviewer}” can only be matched to a reviewer’s seat.`, {
        seat,
      });
    }
  }
  return undefined;
};

/** Names that could be taken for one another, line by line. PA-5: two of them are never silently two people, or one. */
export const alikeNames = (rows: readonly PaperRow[]): PaperFault[] => {
  const first = new Map<string, number>();
  for (const { reviewer, line } of rows) {
    if (!first.has(reviewer)) first.set(reviewer, line);
  }
  const names = [...first];
  return names.flatMap(([name, line], i) => {
    const other = names.slice(0, i).find(([earlier]) => lookAlike(earlier, name));
    if (!other) return [];
    const fault = `“${name}” looks like “${other[0]}” of line ${String(other[1])}`;
    return [{ line, column: 'reviewer', fault, remedy: 'Write one person in one way.' }];
  });
};

const faultyFile = (
  file: PaperFile,
  withoutFaulty: boolean,
): ReturnType<typeof refused> | undefined => {
  const [first] = file.faults;
  if (!first) return undefined;
  const { line, column, fault, remedy } = first;
  if (file.whole || !withoutFaulty) {
    const where = `Line ${String(line)}, ${column}: ${fault}. ${remedy}`;
    return refused('bad-input', `Nothing was brought in. ${where}`, { faults: file.faults.length });
  }
  return file.faults.length > MAX_LEFT_OUT
    ? refused('bad-input', `More than ${String(MAX_LEFT_OUT)} faults. Mend the file first.`)
    : undefined;
};

/**
 * Ratings from a paper panel, brought in by a moderator.
 *
 * PA-1: only before the first round: an evaluation has sealed sheets or ratings from paper, never both, and a file is
 * brought in once. PA-2: nothing is taken while a line is faulty, unless the moderator chooses to go without those
 * lines; the trail then lists them. PA-3: the event holds who, the file’s name, hash, size and lines, and every seat as made or
 * matched. FI-4 holds as for a round that is opened.
 */
export const paperHandlers: Pick<Handlers, 'import-ratings'> = {
  'import-ratings': (state, { file: name, sha256, withoutFaulty }, { paper, protocol }) => {
    if (paper?.sha256 !== sha256) {
      return refused('bad-input', 'The file is not the one that was checked. Check it again.');
    }
    const wrong = faultyFile(paper, withoutFaulty) ?? fitFault(state, 1) ?? seatFault(state, paper);
    if (wrong) return wrong;
    const { bytes, lines, empty, seats } = paper;
    const made: EvaluationEvent[] = seats.flatMap((s) =>
      s.made ? [{ type: 'seat-taken', data: { seat: s.seat, role: 'reviewer', ...s.made } }] : [],
    );
    const imported: Imported = {
      file: name,
      sha256,
      bytes,
      rows: lines,
      empty,
      leftOut: paper.faults.map(({ line, column, fault }) => ({ line, column, fault })),
      seats: seats.map((s) => ({ seat: s.seat, how: s.made ? 'paper' : 'matched' })),
      rounds: roundsOf(paper, protocol),
    };
    const outcome: Outcome<EvaluationEvent[]> = done([
      ...made,
      { type: 'ratings-imported', data: imported },
    ]);
    return outcome;
  },
};
