import type { ProtocolTask, RecordBlock } from '../../../shared-types/src/index.ts';
import { fate, standing, type Day, type Tried } from './day.ts';
import { counted, judgement } from './judge.ts';
import { access } from './ladders.ts';
import { list, para, percent, rounded, table, text, titleOf, when } from './say.ts';
import { mean, tLimits, welch, wilson } from './sums.ts';

/** The middle time of trials of which some were not done: those rank last, as longer than any time. */
const middleTime = (trials: readonly Tried[]): string => {
  const times = trials
    .filter(({ entry: e }) => !(e.done && e.seconds === null))
    .map(({ entry: e }) => (e.done ? Number(e.seconds) : Infinity))
    .toSorted((a, b) => a - b);
  const [low, high] = [times[Math.ceil(times.length / 2) - 1], times[Math.floor(times.length / 2)]];
  const middle = ((low ?? Infinity) + (high ?? Infinity)) / 2;
  return Number.isFinite(middle) ? rounded(middle, 1) : '';
};

const tried = (day: Day): ProtocolTask[] => day.tasks.filter((t) => counted(day, t).length > 0);

const countedTable = (day: Day): RecordBlock[] => {
  const tasks = tried(day);
  if (tasks.length === 0) return [para()];
  const rows = tasks.map((task) => {
    const own = counted(day, task);
    const done = own.filter((t) => t.entry.done).length;
    const [lower, upper] = wilson(done, own.length);
    return [
      [task.title],
      [text(done, own.length), text(95, percent(lower), percent(upper))],
      [middleTime(own)],
      [''],
    ];
  });
  return [table('', [], rows), para()];
};

const criteria = (day: Day): RecordBlock[] => {
  const items = tried(day).flatMap((task) => {
    const found = judgement(day, task);
    if (found?.measured === undefined) return [];
    const { pooled, measured, differs } = found;
    const rule = task.criterion;
    if (!pooled || rule?.kind !== 'pooled-share') {
      return [text(task.title, measured, differs > 0 ? differs : '')];
    }
    const { successes, of } = pooled;
    const tenths = (share: number): string => rounded(100 * share, 1);
    const [lower, upper] = of === 0 ? [0, 0] : wilson(successes, of);
    const share = of === 0 ? '' : text(tenths(successes / of), 95, tenths(lower), tenths(upper));
    const asked = text(rule.minAttempts, tenths(rule.below), tenths(rule.upperBelow));
    return [text(task.title, successes, of, share, asked)];
  });
  return when(items.length > 0, para(), list(...items));
};

const aside = (day: Day): RecordBlock[] => {
  const of = (what: string): Tried[] => day.trials.filter((t) => fate(day, t) === what);
  const bare = of('counts').filter((t) => t.entry.condition !== 'equipment').length;
  const some = (n: number): string[] => (n > 0 ? [text(n)] : []);
  const items = [
    ...some(bare),
    ...some(of('corrected').length),
    ...some(of('model-left').length),
    ...of('void').map((t) => text(titleOf(day, t.entry.task), t.voided ?? '')),
  ];
  return when(items.length > 0, list(...items));
};

const files = (day: Day): RecordBlock[] => {
  const items = standing(day).flatMap(({ entry: e }) =>
    (e.sources ?? []).map((s) => {
      const names = s.measures.map((m) => day.p.measures.find((x) => x.id === m)?.name ?? m);
      // SHA-256 is the name of the sum, not a figure.
      const sum = text(256, s.sha256);
      return text(titleOf(day, e.task), e.operator, ...names, s.file, s.rows, s.software, sum);
    }),
  );
  return when(items.length > 0, para(), list(...items));
};

const flow = (day: Day): RecordBlock => {
  const rows = ['equipment', 'reference', 'practice', 'hidden-fault'].flatMap((condition) => {
    const own = day.trials.filter((t) => t.entry.condition === condition);
    const of = (what: string): Tried[] => own.filter((t) => fate(day, t) === what);
    const recorded = own.length - of('corrected').length;
    if (recorded === 0) return [];
    const stood = of('counts');
    const undone = stood.filter((t) => !t.entry.done).length;
    const numbers = [recorded, of('void').length, of('model-left').length, stood.length, undone];
    return [[[''], ...numbers.map((n) => [text(n)])]];
  });
  return table('', [], rows);
};

/** When a trial was done: its first entry tells, a correction is entered later. */
const doneAt = (day: Day, t: Tried): string => {
  const before = day.trials.find((x) => x.key === t.entry.replaces);
  return before ? doneAt(day, before) : t.entry.at;
};

interface Order {
  operator: string;
  began: string;
  both: boolean;
  days: { equipment: string[]; reference: string[] };
}

/** Conditions that each operator went through. */
export const orders = (day: Day): Order[] => {
  const own = standing(day)
    .filter(({ entry: { condition: c } }) => c === 'equipment' || c === 'reference')
    .map((t) => ({ ...t.entry, when: doneAt(day, t) }));
  return [...new Set(own.map((t) => t.operator))].toSorted().map((operator) => {
    const mine = own
      .filter((t) => t.operator === operator)
      .toSorted((a, b) => Date.parse(a.when) - Date.parse(b.when));
    const daysOf = (condition: string): string[] => [
      ...new Set(mine.filter((t) => t.condition === condition).map((t) => t.when.slice(0, 10))),
    ];
    const days = { equipment: daysOf('equipment'), reference: daysOf('reference') };
    const both = days.equipment.length > 0 && days.reference.length > 0;
    return { operator, began: mine[0]?.condition ?? '', both, days };
  });
};

const orderTable = (of: readonly Order[]): RecordBlock =>
  table(
    '',
    [],
    of.map(({ operator, both, days: { equipment, reference } }) => {
      const apart = both && new Set([...equipment, ...reference]).size > 1;
      return [[operator], [''], [apart ? text(...equipment, ...reference) : '']];
    }),
  );

/** Tasks that somebody tried with the piece, in its state, and without it. */
export const inBoth = (day: Day): ProtocolTask[] =>
  tried(day).filter((task) =>
    standing(day).some((t) => t.entry.task === task.id && t.entry.condition === 'reference'),
  );

const began = (day: Day): RecordBlock => {
  const both = orders(day).filter((o) => o.both);
  if (inBoth(day).length === 0 || both.length === 0) return para();
  const first = (condition: string): number => both.filter((o) => o.began === condition).length;
  return para(first('equipment'), first('reference'));
};

/** Minutes that the protocol asks for between two tiring trials: its own rule, or three where compressions are measured. */
const restOf = (day: Day, id: string): number | null => {
  if (day.p.rest) return day.p.rest.tasks.includes(id) ? day.p.rest.minutes : null;
  const tiring = ['cc_rate', 'cc_depth_mm', 'p_depth', 'p_recoil', 'ccf'];
  const task = day.tasks.find((t) => t.id === id);
  return task?.measures.some((m) => tiring.includes(m)) ? 3 : null;
};

const rest = (day: Day): RecordBlock => {
  const own = day.trials
    .filter((t) => t.entry.replaces === null)
    .flatMap(({ entry: e }) => {
      const asked = restOf(day, e.task);
      return asked === null ? [] : [{ asked, operator: e.operator, at: Date.parse(e.at) }];
    })
    .toSorted((a, b) => a.at - b.at);
  const pauses = own.flatMap((t, i) => {
    const before = own.slice(0, i).findLast((x) => x.operator === t.operator);
    return before ? [{ asked: t.asked, minutes: (t.at - before.at) / 60_000 }] : [];
  });
  if (pauses.length === 0) return para();
  const short = pauses.filter((x) => x.minutes < x.asked).length;
  const shortest = Math.min(...pauses.map((x) => x.minutes));
  return para(pauses.length, rounded(shortest, 1), short, Math.max(...pauses.map((x) => x.asked)));
};

/** One mean an operator, of those who finished every timed trial of a condition. */
const finishers = (trials: readonly Tried[]): Map<string, number> => {
  const timed = trials.filter(({ entry: e }) => !(e.done && e.seconds === null));
  const names = [...new Set(timed.map((t) => t.entry.operator))];
  return new Map(
    names.flatMap((operator) => {
      const own = timed.filter((t) => t.entry.operator === operator);
      const all = own.every((t) => t.entry.done);
      return all ? [[operator, mean(own.map((t) => Number(t.entry.seconds))) ?? 0] as const] : [];
    }),
  );
};

const signed = (x: number): string => `${x < 0 ? '\u2212' : '+'}${rounded(Math.abs(x), 1)}`;
const limits = (ends: readonly number[]): string => text(95, ...ends.map(signed));

/** The cells of a comparison of times: who, the difference and the multiple. */
export const compared = (day: Day, task: ProtocolTask): { kind: string; cells: string[][] } => {
  const none = { kind: 'none', cells: [[''], [''], ['']] };
  const bare = standing(day).filter(
    (t) => t.entry.task === task.id && t.entry.condition === 'reference',
  );
  const timed = (t: Tried): boolean => !(t.entry.done && t.entry.seconds === null);
  if (!bare.some(timed)) return none;
  const withIt = counted(day, task).filter(timed);
  const failed = [...withIt, ...bare].some((t) => !t.entry.done && timed(t));
  const [a, b] = [finishers(withIt), finishers(bare)];
  const pairs = [...a].flatMap(([who, x]) => {
    const y = b.get(who);
    return y === undefined ? [] : [[x, y] as const];
  });
  const notes = failed ? [''] : [];
  if (pairs.length >= 2) {
    const gaps = pairs.map(([x, y]) => x - y);
    const middle = mean(gaps) ?? 0;
    const few = pairs.length < 4 ? [''] : [];
    const logs = pairs.map(([x, y]) => Math.log(x / y));
    const own = mean(logs) ?? 0;
    const ends = tLimits(logs, own).map((x) => rounded(Math.exp(x), 2));
    const ratio = pairs.every(([x, y]) => x > 0 && y > 0);
    return {
      kind: 'paired',
      cells: [
        [text(pairs.length)],
        [signed(middle), limits(tLimits(gaps, middle)), ...notes, ...few],
        ratio ? [rounded(Math.exp(own), 2), text(95, ...ends)] : [''],
      ],
    };
  }
  const people = a.size >= 2 && b.size >= 2;
  const values = (trials: readonly Tried[], of: Map<string, number>): number[] =>
    people
      ? [...of.values()]
      : trials.filter((t) => of.has(t.entry.operator)).map((t) => Number(t.entry.seconds));
  const [left, right] = [values(withIt, a), values(bare, b)];
  const [difference, ...ends] = welch(left, right);
  if (left.length < 2 || right.length < 2 || !Number.isFinite(ends[0])) return none;
  const more = people ? [''] : pairs.length === 1 ? [''] : ['', ''];
  const who = text(left.length, right.length);
  return {
    kind: 'unpaired',
    cells: [[who], [signed(difference), limits(ends), ...notes, ...more], ['']],
  };
};

const differences = (day: Day): RecordBlock[] => {
  const tasks = inBoth(day);
  const rows = tasks.map((task) => [[task.title], ...compared(day, task).cells]);
  return when(tasks.length > 0, table('', [], rows));
};

const hidden = (day: Day): RecordBlock[] => {
  const items = standing(day)
    .filter((t) => t.entry.condition === 'hidden-fault')
    .map(({ entry: e }) => text(titleOf(day, e.task), e.operator, e.note ?? ''));
  return when(items.length > 0, para(), list(...items));
};

const caps = (day: Day): RecordBlock[] => {
  const any = new Set(day.trials.map((t) => t.entry.task));
  const rungs = day.p.ladders.flatMap((l) => l.rungs);
  const items = day.tasks.flatMap((task) => {
    const cap = rungs.findLast((r) => r.task === task.id && r.capSeconds !== null)?.capSeconds;
    const tools = task.tools.map((id) => day.p.tools.find((t) => t.id === id)?.title ?? id);
    if (!any.has(task.id) || (cap == null && tools.length === 0)) return [];
    return [text(task.title, cap ?? '', ...tools)];
  });
  return when(items.length > 0, para(), list(...items));
};

/** What was measured. */
export const evidence = (day: Day): RecordBlock[] => {
  if (day.trials.length === 0) return [para()];
  const of = orders(day);
  return [
    para(day.trials.length),
    ...countedTable(day),
    ...criteria(day),
    ...aside(day),
    ...files(day),
    { kind: 'heading', text: '' },
    flow(day),
    ...when(of.length > 0, orderTable(of)),
    began(day),
    rest(day),
    ...differences(day),
    ...hidden(day),
    ...caps(day),
    ...access(day),
    para(day.p.cautions.thresholds),
  ];
};
