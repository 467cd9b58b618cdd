import type { RecordBlock, RecordStrip } from '../../../shared-types/src/index.ts';
import { all, reviewers, type Day, type Held } from './day.ts';
import { answer, list, moment, para, scaleOf, steps, table, text, titleOf, when } from './say.ts';
import type { Stand } from './standing.ts';
import { upheld } from './verdict.ts';

const letterOf = (day: Day, seat: string): string => day.seats.get(seat)?.letter ?? '';

const strip = (day: Day, of: readonly Stand[], id: string): RecordStrip => {
  const t = of.find((x) => x.task.id === id);
  const ratings = t?.ratings ?? [];
  const task = day.tasks.find((x) => x.id === id);
  return {
    title: titleOf(day, id),
    note: day.p.states.find((s) => s.id === task?.state)?.title ?? '',
    marks: ratings.flatMap(({ seat, held, counted }) =>
      held.rating.step === null
        ? []
        : [{ letter: letterOf(day, seat), step: held.rating.step, counted }],
    ),
    median: t?.median ?? null,
    settled: t?.settled ?? null,
    settledText: t?.settled === undefined ? '' : steps(t.settled),
    how: '',
    divergent: (t?.reasons.length ?? 0) > 0,
    blocked: upheld(day).includes(id),
  };
};

const inWords = (s: RecordStrip): string =>
  text(
    s.title,
    ...s.marks.map((m) => m.step),
    s.median === null ? '' : steps(s.median),
    s.settled === null ? '' : steps(s.settled),
  );

/** The datum plots, one a section. */
export const taskPlots = (day: Day, of: readonly Stand[]): RecordBlock[] => [
  para(),
  ...day.p.sections.map((s): RecordBlock => {
    const rows = s.tasks.map((t) => strip(day, of, t.id));
    return {
      kind: 'strips',
      caption: s.title,
      alt: text(s.title, ...rows.map(inWords)),
      scale: scaleOf(day),
      rows,
    };
  }),
];

const ACROSS = 12;
const cellOf = (of: Stand, seat: string): string => {
  const held: Held | undefined = of.ratings.find((r) => r.seat === seat)?.held;
  return held?.rating.step == null ? '' : text(held.rating.step);
};

/** Every rating that stands, tasks by reviewers. */
export const ratings = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const seats = reviewers(day);
  const groups = Array.from({ length: Math.ceil(seats.length / ACROSS) }, (_, i) =>
    seats.slice(i * ACROSS, (i + 1) * ACROSS),
  );
  const rows = (group: typeof seats): string[][][] =>
    of.map((t) => [[t.task.title], ...group.map((s) => [cellOf(t, s.seat)])]);
  return [...groups.map((group) => table('', [], rows(group))), para()];
};

/** A counted rating three tenths of the scale's width or more from the settled value. */
const minority = (day: Day, t: Stand) => {
  const { min, max } = day.p.scale;
  const { settled } = t;
  if (settled === undefined) return [];
  return t.ratings.filter(
    ({ counted, held: { rating } }) =>
      counted &&
      rating.step !== null &&
      Math.abs(rating.step - settled) >= 0.3 * (max - min) - 1e-9,
  );
};

const settledLine = (day: Day, t: Stand): string => {
  const end = day.settled.get(t.task.id);
  if (!end) return '';
  const [value, middle] = [t.settled, t.median].map((x) => (x === undefined ? '' : steps(x)));
  return text(value ?? '', middle ?? '', moment(end.at), end.reason ?? '');
};

const remarks = (day: Day, task: string): string[] => {
  const held = all(day, 'sheet-recorded').flatMap((e) => e.data.remarks);
  const posted = all(day, 'entry-posted').flatMap(({ data: { entry } }) =>
    entry.kind === 'remark' ? [entry] : [],
  );
  const n = [...held, ...posted].filter((r) => r.task === task).length;
  return n === 0 ? [] : [text(n)];
};

const points = (size: number | null): string =>
  size === null ? '' : String(Number(size.toFixed(2)));

/** Tasks that were talked through, and how many were not. */
export const settlements = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const told = of.filter((t) => {
    const end = day.settled.get(t.task.id);
    const decided = end !== undefined && (end.how !== 'adopt' || end.reason !== null);
    return t.reasons.length > 0 || decided || minority(day, t).length > 0;
  });
  const rest = of.filter((t) => !told.includes(t) && day.settled.has(t.task.id)).length;
  if (told.length === 0) return [para(), para(rest)];
  const rows = told.map((t) => {
    const apart = minority(day, t).map(({ held: { rating } }) =>
      text(answer(day, rating), rating.note ?? ''),
    );
    const why = t.reasons.length === 0 ? [''] : t.reasons.map(points);
    return [
      [t.task.title],
      [...why, settledLine(day, t), ...remarks(day, t.task.id)],
      apart.length === 0 ? [''] : apart,
    ];
  });
  return [table('', [], rows), para(), para(rest)];
};

/** Critical failures: proposed, confirmed, rejected. */
export const gates = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const touched = of.filter(
    (t) => t.proposed.length > 0 || t.worst.length > 0 || day.gates.has(t.task.id),
  );
  const caution = para(day.p.cautions.gate);
  if (touched.length === 0) return [para(), caution];
  const rows = touched.map((t) => {
    const gate = day.gates.get(t.task.id);
    const worst = t.worst.length === 0 ? [] : [''];
    const decided = gate
      ? ['', ...(gate.confirmed ? [''] : []), gate.reason, moment(gate.at)]
      : [''];
    return [[t.task.title], [...t.proposed.map((p) => p.reason), ...worst], decided];
  });
  return [para(touched.length, upheld(day).length), table('', [], rows), caution];
};

/** Departures from the protocol and from good practice, from the log. */
export const deviations = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const quote = (tasks: readonly string[]): string[] =>
    tasks.length === 0 ? [] : [text(...tasks.map((t) => titleOf(day, t)))];
  const items = [...early(day), ...people(day), ...counts(day), ...silent(day, of, quote)];
  return items.length === 0 ? [para(), para()] : [list(...items), para()];
};

const early = (day: Day): string[] => [
  ...all(day, 'ratings-imported').map(() => ''),
  ...all(day, 'fit-overridden').map((e) => e.data.reason),
  ...all(day, 'round-opened').flatMap(({ data: { round, missing } }) =>
    missing.length === 0 ? [] : [text(round, ...missing.map((m) => m.unrated))],
  ),
];

const people = (day: Day): string[] => {
  const sealed = day.lines.findIndex((e) => e.type === 'round-started');
  const recorded = day.lines.findIndex((e) => e.type === 'sheet-recorded');
  const after = (from: number) => (from < 0 ? [] : day.lines.slice(from));
  const moved = after(sealed).flatMap((e) => {
    if (e.type === 'seat-taken' && e.data.role === 'reviewer') return [''];
    return e.type === 'seat-revoked' ? [e.data.reason] : [];
  });
  const again = after(recorded).flatMap((e) =>
    e.type === 'interest-declared' ? [e.data.seat] : [],
  );
  return [...moved, ...[...new Set(again)].map(() => '')];
};

const counts = (day: Day): string[] => {
  const some = (n: number): string[] => (n === 0 ? [] : [text(n)]);
  const stops = stopsOf(day);
  const left = new Set(all(day, 'consent-withdrawn').map((e) => e.data.model)).size;
  return [
    ...some([...day.late.values()].filter((l) => l.decision?.admitted).length),
    ...some(all(day, 'rating-corrected').length),
    ...(stops === 0 ? [] : [stops === 1 ? '' : text(stops)]),
    ...some(left),
    ...some(all(day, 'incident-noted').length),
  ];
};

/** How often everyone stopped: further calls while all stood still are the same stop. */
export const stopsOf = (day: Day): number => {
  let standing = false;
  let n = 0;
  for (const { type } of day.lines) {
    if (type === 'everyone-stopped' && !standing) n++;
    if (type === 'everyone-stopped') standing = true;
    if (type === 'everyone-resumed') standing = false;
  }
  return n;
};

const silent = (
  day: Day,
  of: readonly Stand[],
  quote: (tasks: readonly string[]) => string[],
): string[] => {
  const bare = day.tasks.filter(
    (t) => (of.find((x) => x.task.id === t.id)?.values.length ?? 0) === 0,
  );
  const outside = bare.filter((t) => {
    const given = of.find((x) => x.task.id === t.id)?.ratings ?? [];
    const none = given.every((r) => r.held.rating.answer === 'not-applicable');
    return !t.optional && given.length > 0 && none;
  });
  const must = bare.filter((t) => !t.optional && !outside.includes(t));
  const ids = (tasks: typeof bare): string[] => tasks.map((t) => t.id);
  const open = of.filter(
    (t) => day.settled.get(t.task.id)?.how === 'leave-open' && t.settled !== undefined,
  );
  const unbacked = [...day.gates].filter(([, g]) => g.confirmed && !g.backedByTrials);
  const counted = new Set(
    of
      .flatMap((t) => t.ratings.filter((r) => r.counted && r.held.rating.step !== null))
      .map((r) => r.seat),
  );
  return [
    ...quote(ids(must)),
    ...quote(ids(outside)),
    ...quote(ids(bare.filter((t) => t.optional))),
    ...quote(open.map((t) => t.task.id)),
    ...quote(unbacked.map(([t]) => t)),
    ...all(day, 'task-reopened').map((e) => text(titleOf(day, e.data.task), e.data.reason)),
    ...(day.trials.length === 0 ? [''] : []),
    ...(counted.size < 3 ? [''] : []),
    ...when(day.created.transport === 'plain', para()).map(() => ''),
  ];
};
