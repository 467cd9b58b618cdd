import type { RecordBar, RecordBlock } from '../../../shared-types/src/index.ts';
import type { Day } from './day.ts';
import { list, moment, para, percent, scaleOf, steps, text, titleOf, two, when } from './say.ts';
import { headline, tableOf, type Stand } from './standing.ts';
import { mean, median as medianOf, present, tLimits, whole } from './sums.ts';

/** Composites of the mean ratings of a table: whole, each reviewer's own, and without each; and the 95 % limits. */
export const meansOf = (day: Day, of: readonly Stand[], everyone: boolean) => {
  const { seats, cells } = tableOf(day, of, everyone);
  const row = new Map(of.map((t, i) => [t.task.id, cells[i] ?? []]));
  const over = (pick: (values: (number | undefined)[]) => number | undefined) =>
    whole(day.p.sections, (id) => pick(row.get(id) ?? [])).value;
  const value = over((r) => mean(present(r)));
  const own = seats.map((_, j) => over((r) => r[j]));
  const without = seats.map((_, j) => over((r) => mean(present(r.filter((__, i) => i !== j)))));
  const k = seats.length;
  const full = cells.every((r) => [0, k].includes(present(r).length));
  // Complete: t over the reviewers' own composites. Else Quenouille and Tukey's jackknife pseudo-values.
  const points = full ? own : without.map((c) => c && value && k * value - (k - 1) * c);
  const known = present(points);
  const limits = value === undefined || k < 3 || known.length < k ? null : tLimits(known, value);
  return { seats, value, own, without, limits };
};

const bar = (
  label: string,
  value: number | undefined,
  note = '',
  limits: readonly [number, number] | null = null,
): RecordBar => ({
  label,
  value: value ?? null,
  interval: limits && { lower: limits[0], upper: limits[1] },
  text: two(value),
  note,
});

/** What is read aloud of bars: everything that stands on them. */
export const spoken = (rows: readonly RecordBar[]): string =>
  rows.map((r) => text(r.label, r.text, r.note)).join(' ');

const bars = (day: Day, rows: RecordBar[]): RecordBlock => ({
  kind: 'bars',
  caption: '',
  alt: spoken(rows),
  scale: scaleOf(day),
  rows,
});

/** Tasks with an upheld critical failure, in the protocol's order. */
export const upheld = (day: Day): string[] =>
  day.tasks.flatMap(({ id }) => (day.gates.get(id)?.confirmed ? [id] : []));

const headBars = (day: Day, of: readonly Stand[]): RecordBar[] => {
  const { value, without, weighed } = headline(day, of);
  const { value: means, limits } = meansOf(day, of, false);
  const share = weighed ? text(percent(weighed.weight), two(weighed.points)) : '';
  return [
    bar('', value, text(percent(without.used), share)),
    ...(weighed ? [bar('', without.value)] : []),
    bar('', means, limits ? text(95, two(limits[0]), two(limits[1])) : '', limits),
  ];
};

const sectionBars = (day: Day, of: readonly Stand[]): RecordBar[] => {
  const { without, shares } = headline(day, of);
  return without.parts.map((part, i) => ({
    label: day.p.sections[i]?.title ?? '',
    value: part.value ?? null,
    interval: null,
    text: part.value === undefined ? '' : steps(part.value),
    note: text(part.rated, part.of, percent(shares[i] ?? 0)),
  }));
};

const meaning = ({ p: { scale } }: Day): string => {
  const end = scale.better === 'lower' ? scale.max : scale.min;
  const worst = scale.points.find((s) => s.value === end);
  return text(scale.title, scale.datum ?? '', end, worst?.word ?? '', worst?.meaning ?? '');
};

/** What became of the record after its lock. */
export const since = (day: Day): RecordBlock[] => {
  const after = day.lines.flatMap((e) =>
    e.type === 'evaluation-withdrawn' ? [para(moment(e.at), e.data.reason)] : [],
  );
  const taken = day.lines.flatMap((e) =>
    e.type === 'evaluation-superseded' ? [para(e.data.by, moment(e.at), e.data.reason)] : [],
  );
  const said = [...after, ...taken];
  return [...said, ...when(said.length > 0, para())];
};

/** The verdict: what gated it, the composites and the sections. */
export const verdict = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const blocked = upheld(day);
  const rejected = [...day.gates.values()].filter((g) => !g.confirmed).length;
  const { without } = headline(day, of);
  return [
    { kind: 'verdict', text: text(...blocked.map((t) => titleOf(day, t))), blocked: false },
    ...when(
      blocked.length > 0,
      para(),
      list(...blocked.map((t) => text(titleOf(day, t), day.gates.get(t)?.reason ?? ''))),
    ),
    ...when(blocked.length === 0 && rejected > 0, para(rejected)),
    bars(day, headBars(day, of)),
    ...when(without.used < 0.6, para(60)),
    para(meaning(day)),
    bars(day, sectionBars(day, of)),
    para(day.p.cautions.scope),
  ];
};

/** The composite by other choices. */
export const sensitivity = (day: Day, of: readonly Stand[]): RecordBlock[] => {
  const { value, without, weighed } = headline(day, of);
  const out = meansOf(day, of, false);
  const everyone = meansOf(day, of, true);
  const medians = (all: boolean): number | undefined => {
    const { cells } = tableOf(day, of, all);
    const row = new Map(of.map((t, i) => [t.task.id, cells[i] ?? []]));
    return whole(day.p.sections, (id) => medianOf(present(row.get(id) ?? []))).value;
  };
  const rows = [
    bar('', value),
    ...(weighed ? [bar('', without.value)] : []),
    bar('', medians(false)),
    bar('', out.value),
    bar('', medians(true)),
    bar('', everyone.value),
    ...out.without.map((c) => bar('', c)),
  ];
  const known = rows.flatMap((r) => r.value ?? []);
  return [
    known.length === 0 ? para() : para(two(Math.min(...known)), two(Math.max(...known))),
    bars(day, rows),
    ...when(weighed !== null, para()),
    para(),
  ];
};
