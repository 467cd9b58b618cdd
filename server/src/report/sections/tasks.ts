import type { ProtocolTask, RecordBlock, RecordStrip } from '@unhindered/shared-types';
import { settledValue } from '../../evaluation/settled-value.ts';
import {
  wasNotReRated,
  type StandingRating,
  type TaskStanding,
} from '../../evaluation/standing.ts';
import type { RecordSource } from '../record-source.ts';
import {
  figureNumber,
  letterOf,
  listWords,
  OFF_SCALE_WORDS,
  plain,
  scaleOf,
  stepsText,
  taskTitle,
} from '../words.ts';

const HOW = {
  adopt: 'median adopted',
  decide: 'decided',
  'leave-open': 'left open',
  'no-ratings': 'no counted rating',
} as const;

/** Who did not put the task on the scale: "not applicable C, D". */
const offScale = (source: RecordSource, ratings: readonly StandingRating[]): string[] =>
  (['not-applicable', 'not-observed', 'abstained'] as const).flatMap((answer) => {
    const who = ratings.filter((r) => r.rating.answer === answer);
    if (who.length === 0) return [];
    return [`${OFF_SCALE_WORDS[answer]} ${who.map((r) => letterOf(source, r.seat)).join(', ')}`];
  });

const noteOf = (source: RecordSource, task: ProtocolTask): string => {
  const state = source.protocol.states.find((s) => s.id === task.state)?.title.toLowerCase();
  return [state, ...(task.basis === 'absolute' ? ['absolute'] : [])].join(', ');
};

const stripOf = (source: RecordSource, task: ProtocolTask): RecordStrip => {
  const standing = source.standings.find((t) => t.task === task.id);
  const figures = source.result.tasks.find((t) => t.task === task.id);
  const ratings = standing?.ratings ?? [];
  const settled = (standing && settledValue(source.state, standing)) ?? null;
  const off = offScale(source, ratings);
  return {
    title: task.title,
    note: noteOf(source, task),
    marks: ratings.flatMap(({ seat, rating, counted }) =>
      rating.step === null ? [] : [{ letter: letterOf(source, seat), step: rating.step, counted }],
    ),
    median: figures ? figureNumber(figures.median) : null,
    settled,
    settledText: settled === null ? '–' : stepsText(settled),
    how: [standing ? HOW[figures?.how ?? 'no-ratings'] : 'not opened', ...off].join('; '),
    divergent: figures?.divergent ?? false,
    blocked: source.result.verdict.tasks.includes(task.id),
  };
};

/** A strip in words, for those who cannot see it. */
export const stripWords = (s: RecordStrip): string => {
  const marks = s.marks.map(
    (m) => `${m.letter} ${String(m.step)}${m.counted ? '' : ' (not counted)'}`,
  );
  const parts = [
    marks.length === 0 ? 'no rating on the scale' : marks.join(', '),
    ...(s.median === null ? [] : [`median ${stepsText(s.median)}`]),
    ...(s.settled === null ? [] : [`settled ${stepsText(s.settled)}`]),
    ...(s.divergent ? ['diverged'] : []),
    ...(s.blocked ? ['care was blocked'] : []),
  ];
  return `${s.title}: ${parts.join('; ')}`;
};

const KEY =
  'The heavy line is care without the equipment (the datum); every letter is one reviewer’s rating, its distance from the line the hindrance. Filled letters count; dashed ones are left out for a declared interest. The bracket spans the counted ratings, the upright bar is the settled value.';

/** The datum plots: one section after another, one line a task. */
export const taskBlocks = (source: RecordSource): RecordBlock[] => {
  const scale = scaleOf(source);
  const sections = source.protocol.sections.map((s): RecordBlock => {
    const rows = s.tasks.map((t) => stripOf(source, t));
    return {
      kind: 'strips',
      caption: `${s.letter}  ${s.title}`,
      alt: `${s.title}. ${rows.map(stripWords).join('. ')}.`,
      scale,
      rows,
    };
  });
  return [plain(KEY), ...sections];
};

/** Signs beside a rating; the legend stands below the table. */
const signs = (source: RecordSource, task: string, r: StandingRating): string =>
  [
    r.counted ? '' : '†',
    r.corrected === null ? '' : '*',
    r.late ? '‡' : '',
    r.changed ? '§' : '',
    wasNotReRated(source.state, task, r.round) ? '=' : '',
    r.rating.critical === null ? '' : '!',
  ].join('');

const SHORT = { 'not-applicable': 'n/a', 'not-observed': 'n/o', abstained: 'abs' } as const;

const cell = (source: RecordSource, standing: TaskStanding | undefined, seat: string): string => {
  const r = standing?.ratings.find((x) => x.seat === seat);
  if (!standing || !r) return '';
  const easier = r.rating.easier ? '+' : '';
  const step = r.rating.answer === 'step' ? String(r.rating.step) : SHORT[r.rating.answer];
  return `${step}${easier}${signs(source, standing.task, r)}`;
};

const LEGEND =
  'Signs: n/a not applicable, n/o not observed, abs abstained; † not counted for a declared interest, * corrected after the opening, ‡ late and admitted, § changed on the sheet before the opening, = kept from an earlier round, ! critical failure proposed, + easier than without. An empty cell is no answer.';

/** Most columns of reviewers in one table. */
const ACROSS = 12;

/** Every rating that stands, as a table of tasks by reviewers. */
export const ratingBlocks = (source: RecordSource): RecordBlock[] => {
  const seats = [...source.state.seats.values()].filter((s) => s.role === 'reviewer');
  const groups = Array.from({ length: Math.ceil(seats.length / ACROSS) }, (_, i) =>
    seats.slice(i * ACROSS, (i + 1) * ACROSS),
  );
  const tables = groups.map((group): RecordBlock => ({
    kind: 'table',
    caption: `Ratings of ${group.length === 1 ? 'reviewer' : 'reviewers'} ${listWords(group.map((s) => s.letter ?? '?'))}`,
    head: ['Task', ...group.map((s) => s.letter ?? '?')],
    widths: [0.4, ...group.map(() => 0.6 / group.length)],
    rows: source.standings.map((t) => [
      [taskTitle(source, t.task)],
      ...group.map((s) => [cell(source, t, s.seat)]),
    ]),
  }));
  return [...tables, plain(LEGEND)];
};
