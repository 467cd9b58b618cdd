import { canonicalText } from '../../../server/src/audit/canonical-json.ts';
import type { Rating } from '../../../shared-types/src/index.ts';
import { fate, type Day, type Line } from './day.ts';
import { stands, type Stand } from './standing.ts';

type Cell = string | number | boolean | null | undefined;

/** A file as it must be: its columns in order, and every row. */
export interface Expected {
  name: string;
  head: string[];
  rows: string[][];
}

/** Signs that a spreadsheet takes a text for a formula by; such a text gets one apostrophe more. */
const FORMULA = /^'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/u;

const cell = (x: Cell): string => {
  if (x === null || x === undefined) return '';
  if (typeof x === 'boolean') return x ? 'yes' : 'no';
  if (typeof x === 'number') return String(x);
  return FORMULA.test(x) ? `'${x}` : x;
};

const file = (day: Day, name: string, rows: Record<string, Cell>[], head: string[]): Expected => {
  const invented: Record<string, Cell> = day.p.invented ? { invented: true } : {};
  return {
    name,
    head: [...head, ...Object.keys(invented)],
    rows: rows.map((row) => {
      const whole = { ...row, ...invented };
      return [...head, ...Object.keys(invented)].map((column) => cell(whole[column]));
    }),
  };
};

const sectionOf = (day: Day, task: string) =>
  day.p.sections.find((s) => s.tasks.some((t) => t.id === task));

interface Given {
  e: Line;
  round: number;
  seat: string;
  task: string;
  rating: Rating;
  changed: boolean;
  source: string;
}

const givenOf = (e: Line): Given[] => {
  if (e.type === 'sheet-recorded') {
    const { round, seat } = e.data;
    return e.data.ratings.map((r) => ({ e, round, seat, ...r, source: 'sheet' }));
  }
  if (e.type === 'ratings-imported') {
    return e.data.rounds.flatMap(({ round, sheets }) =>
      sheets.flatMap(({ seat, ratings }) =>
        ratings.map((r) => ({ e, round, seat, ...r, changed: false, source: 'paper' })),
      ),
    );
  }
  if (e.type === 'rating-corrected') {
    const { round, seat, task, new: rating } = e.data;
    return [{ e, round, seat, task, rating, changed: false, source: 'correction' }];
  }
  if (e.type !== 'late-offered') return [];
  const { round, seat, task, rating } = e.data;
  return [{ e, round, seat, task, rating, changed: false, source: 'late' }];
};

/** Whether a row is the rating that the second reading of the log holds for its seat and task. */
const isHeld = (day: Day, g: Given): boolean => {
  const held = day.ratings.get(g.task)?.get(g.seat);
  if (held?.rating !== g.rating) return false;
  return g.source !== 'late' || held.late;
};

const RATINGS =
  'evaluation event recorded_at round section task seat reviewer answer step easier reason critical note rated_at changed source stands counted';

const ratingsFile = (day: Day): Expected => {
  const rows = day.lines.flatMap(givenOf).map((g) => {
    const { rating: r } = g;
    const held = isHeld(day, g);
    return {
      evaluation: day.bundle.log,
      event: g.e.seq,
      recorded_at: g.e.at,
      round: g.round,
      section: sectionOf(day, g.task)?.id,
      task: g.task,
      seat: g.seat,
      reviewer: day.seats.get(g.seat)?.letter,
      ...r,
      rated_at: r.at,
      changed: g.changed,
      source: g.source,
      stands: held,
      counted: held && day.seats.get(g.seat)?.excluded.includes(g.task) !== true,
    };
  });
  return file(day, 'ratings.csv', rows, RATINGS.split(' '));
};

const TASKS =
  'task title section section_weight task_weight basis state n median settled how reason divergent gate gate_backed_by_trials gate_reason';

const tasksFile = (day: Day, of: readonly Stand[]): Expected => {
  const rows = day.tasks.map((t) => {
    const stand = of.find((x) => x.task.id === t.id);
    const [end, gate] = [day.settled.get(t.id), day.gates.get(t.id)];
    return {
      task: t.id,
      title: t.title,
      section: sectionOf(day, t.id)?.id,
      section_weight: sectionOf(day, t.id)?.weight,
      task_weight: t.weight,
      basis: t.basis,
      state: t.state,
      n: stand?.values.length ?? 0,
      median: stand?.median,
      settled: stand?.settled,
      how: stand?.settled === undefined ? 'no-ratings' : end?.how,
      reason: end?.reason,
      divergent: (stand?.reasons.length ?? 0) > 0,
      gate: gate && (gate.confirmed ? 'confirmed' : 'rejected'),
      gate_backed_by_trials: gate?.backedByTrials,
      gate_reason: gate?.reason,
    };
  });
  return file(day, 'tasks.csv', rows, TASKS.split(' '));
};

const EVENTS = 'event at client_at type actor role device command data';

const eventsFile = (day: Day): Expected => {
  const rows = day.bundle.events.map((text) => {
    const e = JSON.parse(text) as Record<string, Cell> & { data: unknown };
    const { seq, at, clientAt, type, actor, role, device, cmd, data } = e;
    const whole = canonicalText(data);
    return {
      ...{ event: seq, at, client_at: clientAt, type, actor, role, device, command: cmd },
      data: whole,
    };
  });
  return file(day, 'events.csv', rows, EVENTS.split(' '));
};

const TRIALS =
  'event at entered_at task state condition operator done seconds splits criterion_met measures status corrects void_reason entered_by note model sources';

const measureText = (m: {
  measure: string;
  value: string;
  counts: { successes: number; of: number } | null;
}): string => {
  const counts = m.counts ? ` (${String(m.counts.successes)}/${String(m.counts.of)})` : '';
  return `${m.measure}=${m.value}${counts}`;
};

const trialsFile = (day: Day): Expected[] => {
  if (day.trials.length === 0) return [];
  const rows = day.trials.map((t) => {
    const { entry: e } = t;
    const sources = (e.sources ?? []).map(
      (s) =>
        `${s.file} (sha256 ${s.sha256}, ${String(s.rows)} rows, read by ${s.software}) gave ${s.measures.join(', ')}; read as ${s.as}`,
    );
    return {
      event: t.seq,
      at: t.at,
      entered_at: e.at,
      task: e.task,
      state: e.state,
      condition: e.condition,
      operator: e.operator,
      done: e.done,
      seconds: e.seconds === null ? null : Number(e.seconds),
      splits: e.splits.map((s) => `${s.label}=${s.seconds}`).join('; '),
      criterion_met: e.criterion,
      measures: e.measures.map(measureText).join('; '),
      status: fate(day, t),
      corrects: e.replaces,
      void_reason: t.voided,
      entered_by: t.seat,
      note: e.note,
      model: e.model,
      sources: sources.join('; '),
    };
  });
  return [file(day, 'trials.csv', rows, TRIALS.split(' '))];
};

const countedFile = (day: Day, of: readonly Stand[]): Expected => {
  const weightOf = (task: string): number => {
    const section = sectionOf(day, task);
    const rated = new Set(of.filter((t) => t.values.length > 0).map((t) => t.task.id));
    const all = (section?.tasks ?? []).filter((t) => rated.has(t.id));
    const own = all.find((t) => t.id === task)?.weight ?? 0;
    const exact = ((section?.weight ?? 0) * own) / all.reduce((s, t) => s + t.weight, 0);
    return Number(exact.toPrecision(12));
  };
  const rows = day.lines
    .flatMap(givenOf)
    .filter((g) => isHeld(day, g) && g.rating.step !== null)
    .filter((g) => day.seats.get(g.seat)?.excluded.includes(g.task) !== true)
    .map((g) => ({
      task: g.task,
      reviewer: day.seats.get(g.seat)?.letter,
      rating: g.rating.step,
      section: sectionOf(day, g.task)?.id,
      weight: weightOf(g.task),
    }));
  return file(day, 'counted.csv', rows, ['task', 'reviewer', 'rating', 'section', 'weight']);
};

/** Every file of the open data but its dictionary, each row and cell worked out from the bundle. */
export const expectedFiles = (day: Day): Expected[] => {
  const of = stands(day);
  return [
    ratingsFile(day),
    tasksFile(day, of),
    eventsFile(day),
    ...trialsFile(day),
    countedFile(day, of),
  ];
};
