import { roundHalfUp } from '@unhindered/shared-types';
import type { Analysis, ReviewerFigures, TaskFigures } from './analysis.ts';
import { absenceWords, agreementSentence, dependabilitySentence } from './sentences.ts';
import type { RatingSource } from './rating-source.ts';
import { countStrip, fit, intervalStrip, signedBar } from './text-plot.ts';

const NAME = 26;
const BAR = 8;

const digits = (x: number | null, places: number): string =>
  x === null ? '-' : roundHalfUp(x, places);
const right = (text: string, width: number): string => text.padStart(width);
const plural = (n: number, one: string): string => `${String(n)} ${one}${n === 1 ? '' : 's'}`;
const pValue = (p: number | null): string =>
  p === null ? '-' : p < 0.001 ? '< .001' : roundHalfUp(p, 3).replace(/^0/u, '');

const taskLine = (t: TaskFigures, row: readonly (number | undefined)[], a: Analysis): string => {
  const { min, max } = a.scale;
  // A half point is counted with the point below it; the median's brackets show what it is.
  const counts = Array.from(
    { length: max - min + 1 },
    (_, k) => row.filter((x) => x !== undefined && Math.floor(x) === min + k).length,
  );
  const figures = [digits(t.median, 1), digits(t.ad_median, 2), digits(t.a_wg, 2)];
  const mark = t.flags.length > 0 ? '  ! diverges' : '';
  return `  ${fit(t.task, NAME)}${right(String(t.n), 3)}  ${countStrip(counts, min, t.median)}${figures
    .map((f) => right(f, 7))
    .join('')}${mark}`;
};

const tasksText = (a: Analysis, source: RatingSource): string[] => {
  const { min, max } = a.scale;
  const points = Array.from({ length: max - min + 1 }, (_, k) => fit(` ${String(min + k)}`, 3));
  const header = `  ${fit('task', NAME)}  n  ${points.join('')}${['median', 'AD', 'a_wg']
    .map((f) => right(f, 7))
    .join('')}`;
  const lines = a.tasks.map((t, i) => taskLine(t, source.table.cells[i] ?? [], a));
  return ['TASKS  ratings at each point, the median in brackets', header, ...lines];
};

const divergencesText = (a: Analysis): string[] => {
  const lines = a.tasks.flatMap((t) =>
    t.flags.map((f) => {
      const habit = f.survives_severity === false ? ' Goes away when each habit is taken out.' : '';
      return `  ${t.task}: ${f.sentence}${habit}`;
    }),
  );
  const { id, lone, split } = a.rule;
  const constants = `rule ${id}: ${digits(lone, 2)} points from the others, or average deviation above ${digits(split, 2)}`;
  return [`DIVERGENCES  ${constants}`, ...(lines.length > 0 ? lines : ['  none'])];
};

const reviewerLine = (r: ReviewerFigures, most: number, a: Analysis): string => {
  const bar = r.severity === null ? ' '.repeat(2 * BAR + 1) : signedBar(r.severity, most, BAR);
  const effect =
    r.severity === null
      ? 'not estimable'
      : `${r.severity > 0 ? '+' : ''}${digits(r.severity, 2)} ± ${digits(r.severity_se, 2)}`;
  const without = absenceWords(r, a.scale);
  return `  ${fit(r.reviewer, NAME)}${right(String(r.n), 3)}  ${bar}  ${fit(effect, 14)}${
    without === '' ? '' : `  absence ${without}`
  }`;
};

const reviewersText = (a: Analysis): string[] => {
  const most = Math.max(0, ...a.reviewers.map((r) => Math.abs(r.severity ?? 0)));
  const test = a.severity_test;
  return [
    'REVIEWERS  habit against the panel: < rates lower, > rates higher (points ± standard error)',
    ...a.reviewers.map((r) => reviewerLine(r, most, a)),
    test
      ? `  All alike? F ${digits(test.f, 2)} on ${String(test.df1)} and ${String(test.df2)}, p ${pValue(test.p)}`
      : `  All alike? ${a.notes?.['severity_test'] ?? 'not tested'}`,
  ];
};

const range = (of: { lower: number; upper: number } | null): string =>
  of ? ` (95 % ${digits(of.lower, 2)} to ${digits(of.upper, 2)})` : '';

const agreementText = (a: Analysis): string[] => {
  const g = a.agreement;
  const single = g.icc['2,1'];
  const average = g.icc['2,k'];
  const ends = (i: typeof single): string =>
    range(i.lower === null || i.upper === null ? null : { lower: i.lower, upper: i.upper });
  const left =
    g.icc_tasks && g.icc_tasks.left_out > 0
      ? `, ${plural(g.icc_tasks.left_out, 'task')} left out`
      : '';
  const components = g.icc_components
    ? `; on every cell ${digits(g.icc_components.agreement_single, 2)} and ${digits(g.icc_components.agreement_average, 2)}`
    : '';
  return [
    'AGREEMENT',
    `  ${agreementSentence(a)}`,
    `  Krippendorff's alpha, ordinal  ${digits(g.alpha.ordinal, 2)}${range(g.alpha_interval)}`,
    `  Gwet's AC2, quadratic          ${digits(g.ac2_quadratic, 2)}${range(g.ac2_quadratic_interval)}`,
    `  ICC(A,1), ICC(A,k)             ${digits(single.estimate, 2)}${ends(single)}, ${digits(average.estimate, 2)}${ends(average)}${left}${components}`,
    `  Pairs within 1 point, equal    ${digits(g.within_one_pairs, 2)}, ${digits(g.exact_pairs, 2)}`,
    `  Kendall's W (order only)       ${g.kendall_w ? `${digits(g.kendall_w.w, 2)}, p ${pValue(g.kendall_w.p_permutation ?? g.kendall_w.p)}` : `- ${g.notes?.['kendall_w'] ?? ''}`}`,
  ];
};

const compositeText = (a: Analysis): string[] => {
  const c = a.composite;
  if (c.value === null) return ['COMPOSITE', `  none: ${c.notes?.['value'] ?? ''}`];
  const strip = intervalStrip({ value: c.value, lower: c.lower, upper: c.upper }, a.scale, 51);
  const interval =
    c.lower === null || c.upper === null
      ? `no interval: ${c.notes?.['lower'] ?? ''}`
      : `95 % ${digits(c.lower, 2)} to ${digits(c.upper, 2)} (${c.method ?? ''}), centred on the mean ratings`;
  const lines = [
    `COMPOSITE of mean ratings, ${a.scale.better} is better`,
    `  ${digits(c.value, 2)}; ${interval}`,
    `  ${String(a.scale.min)} ${strip} ${String(a.scale.max)}`,
    `  of medians ${digits(c.of_medians, 2)}${c.provisional ? '; PROVISIONAL: less than 60 % of the weight is rated' : ''}`,
  ];
  const sections = c.sections.length > 1 ? c.sections : [];
  return [
    ...lines,
    ...sections.map(
      (s) =>
        `  ${fit(s.section, NAME)} ${right(digits(s.value, 2), 6)}  weight ${digits(s.weight, 2)}  ${String(s.rated)} of ${plural(s.of, 'task')}`,
    ),
  ];
};

const roundsText = (a: Analysis): string[] =>
  a.rounds.flatMap((r) => {
    const moved = r.tasks.filter((t) => t.histogram_change > 0);
    const head = `ROUND ${String(r.from)} TO ${String(r.to)}  ${r.advice.replaceAll('-', ' ')}; signed rank p ${pValue(r.signed_rank_p)}`;
    const lines = moved.map(
      (t) =>
        `  ${fit(t.task, NAME)} ${roundHalfUp(100 * t.share_changed, 0)} % changed, median ${t.median_change > 0 ? '+' : ''}${digits(t.median_change, 1)}`,
    );
    return [head, ...(lines.length > 0 ? lines : ['  nothing moved']), ''];
  });

/** The analysis as readable text for a terminal of 100 columns; lines without an end sign. */
export const analysisText = (a: Analysis, source: RatingSource): string[] => {
  const { tasks, reviewers, ratings, absent } = a.counts;
  const { min, max, better } = a.scale;
  return [
    `${plural(reviewers, 'reviewer')} rated ${plural(tasks, 'task')} on ${String(min)} to ${String(max)}, ${better} is better: ${plural(ratings, 'rating')}, ${String(absent)} absent.`,
    ...(source.trials ? ['With trials, a reviewer counts with the mean of their trials.'] : []),
    '',
    ...compositeText(a),
    '',
    ...divergencesText(a),
    '',
    ...tasksText(a, source),
    '',
    ...reviewersText(a),
    '',
    ...agreementText(a),
    '',
    'DEPENDABILITY of the panel mean of a task',
    `  ${dependabilitySentence(a)}`,
    '',
    ...roundsText(a),
    'Consensus figures only: an upheld critical failure overrides any composite.',
  ].map((line) => line.trimEnd());
};
