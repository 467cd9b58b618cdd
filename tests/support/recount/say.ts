import type { RecordBlock } from '../../../shared-types/src/index.ts';
import type { Day } from './day.ts';

/** Halves away from zero, decided on the twelve digits that a figure has. */
export const rounded = (x: number, decimals: number): string => {
  const exact = Number(x.toPrecision(12));
  const kept = Math.round(Math.abs(exact) * 10 ** decimals + 1e-9) / 10 ** decimals;
  return `${exact < 0 && kept !== 0 ? '-' : ''}${kept.toFixed(decimals)}`;
};
/** Two decimals, or the reason why there is no figure. */
export const two = (x: number | undefined, why = ''): string =>
  x === undefined ? why : rounded(x, 2);
/** Steps: one decimal, none where it says nothing. */
export const steps = (x: number): string => rounded(x, 1).replace(/\.0$/u, '');
export const percent = (share: number): string => rounded(100 * share, 0);

const MONTH = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');
/** A moment as the record prints it. */
export const moment = (iso: string): string => {
  const d = new Date(iso);
  const clock = `${String(d.getUTCHours()).padStart(2, '0')}:${String(d.getUTCMinutes()).padStart(2, '0')}`;
  return `${String(d.getUTCDate())} ${MONTH[d.getUTCMonth()] ?? ''} ${String(d.getUTCFullYear())}, ${clock}`;
};

export const titleOf = (day: Day, task: string): string =>
  day.tasks.find((t) => t.id === task)?.title ?? task;

/** A text by its numerals: what is quoted and what is counted, in the order in which it is said. */
export const text = (...parts: (string | number)[]): string => parts.join(' ');
export const para = (...parts: (string | number)[]): RecordBlock => ({
  kind: 'text',
  text: text(...parts),
  tone: 'plain',
});
export const head = (said = ''): RecordBlock => ({ kind: 'heading', text: said });
export const list = (...items: string[]): RecordBlock => ({ kind: 'list', items });
export const facts = (...rows: (readonly [term: string, text: string])[]): RecordBlock => ({
  kind: 'facts',
  rows: rows.map(([term, said]) => ({ term, text: said })),
});
export const table = (caption: string, columns: string[], rows: string[][][]): RecordBlock => ({
  kind: 'table',
  caption,
  head: columns,
  widths: [],
  rows,
});
/** Blocks that stand only where they are asked for. */
export const when = (there: boolean, ...blocks: RecordBlock[]): RecordBlock[] =>
  there ? blocks : [];
export const scaleOf = ({ p: { scale } }: Day) => ({
  min: scale.min,
  max: scale.max,
  datum: scale.datum ?? (scale.better === 'lower' ? scale.min : scale.max),
  points: scale.points.map(({ value, word }) => ({ value, word })),
});

/** An answer's numerals: the step and its word, or the reason off the scale. */
export const answer = (
  day: Day,
  r: { answer: string; step: number | null; reason: string | null } | null,
): string => {
  if (!r) return '';
  if (r.step === null) return r.reason ?? '';
  return text(r.step, day.p.scale.points.find((s) => s.value === r.step)?.word ?? '');
};
