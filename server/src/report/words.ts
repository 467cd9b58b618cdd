import {
  roundHalfUp,
  type FigureText,
  type Rating,
  type RecordBlock,
  type RecordScale,
  type Scale,
} from '@unhindered/shared-types';
import type { RecordSource } from './record-source.ts';

const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** An ISO-8601 UTC instant as people read it; the zone is said, because a record travels. */
export const instantWords = (iso: string): string => {
  const [, year = '', month = '', day = '', time = ''] =
    /^(\d{4})-(\d{2})-(\d{2})T(\d{2}:\d{2})/u.exec(iso) ?? [];
  return `${String(Number(day))} ${MONTHS[Number(month) - 1] ?? month} ${year}, ${time} UTC`;
};

/** Steps with one decimal, without a decimal that says nothing. */
export const stepsText = (value: number): string => roundHalfUp(value, 1).replace(/\.0$/u, '');

/** A figure with `decimals`, or the reason why there is none. */
export const figureWords = (f: FigureText, decimals: number): string =>
  'value' in f ? roundHalfUp(Number(f.value), decimals) : `none (${f.undefinedBecause})`;

export const figureNumber = (f: FigureText): number | null =>
  'value' in f ? Number(f.value) : null;

/** A share as a whole percentage. */
export const percentWords = (share: number): string => `${roundHalfUp(share * 100, 0)} %`;

/** "A", "A and B", "A, B and C". */
export const listWords = (items: readonly string[]): string =>
  items.length < 2
    ? items.join('')
    : `${items.slice(0, -1).join(', ')} and ${items.slice(-1).join('')}`;

export const plural = (n: number, one: string, many: string): string =>
  `${String(n)} ${n === 1 ? one : many}`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const letterOf = (source: RecordSource, seat: string): string =>
  source.state.seats.get(seat)?.letter ?? '?';

/** A seat in words: "reviewer A", "the moderator"; with the name when names were asked for. */
export const seatWords = (source: RecordSource, seat: string): string => {
  const known = source.state.seats.get(seat);
  const role = known?.role ?? 'reviewer';
  const who = known?.letter ? `${role} ${known.letter}` : `the ${role}`;
  const name = source.names ? source.bundle.names.find((n) => n.seat === seat)?.name : undefined;
  return name === undefined ? who : `${who} (${name})`;
};

/** Reviewers by letter: "reviewer A", "reviewers A and C". */
export const reviewersWords = (source: RecordSource, seats: readonly string[]): string =>
  `${seats.length === 1 ? 'reviewer' : 'reviewers'} ${listWords(seats.map((s) => letterOf(source, s)))}`;

export const taskTitle = (source: RecordSource, task: string): string =>
  source.protocol.sections.flatMap((s) => s.tasks).find((t) => t.id === task)?.title ?? task;

export const OFF_SCALE_WORDS = {
  'not-applicable': 'not applicable',
  'not-observed': 'not observed',
  abstained: 'abstained',
} as const;

/** One answer in words: the step and its word, or why there is no step. */
export const answerWords = (rating: Rating | null, scale: Scale): string => {
  if (!rating) return 'no rating';
  if (rating.answer === 'step') {
    const word = scale.points.find((p) => p.value === rating.step)?.word ?? '';
    return `${String(rating.step)} (${word}${rating.easier ? ', easier than without' : ''})`;
  }
  const kind = OFF_SCALE_WORDS[rating.answer];
  return rating.reason === null ? kind : `${kind}: ${rating.reason}`;
};

export const scaleOf = ({ protocol: { scale } }: RecordSource): RecordScale => ({
  min: scale.min,
  max: scale.max,
  datum: scale.datum ?? (scale.better === 'lower' ? scale.min : scale.max),
  points: scale.points.map(({ value, word }) => ({ value, word })),
});

export const plain = (text: string): RecordBlock => ({ kind: 'text', text, tone: 'plain' });
export const quiet = (text: string): RecordBlock => ({ kind: 'text', text, tone: 'quiet' });
export const strong = (text: string): RecordBlock => ({ kind: 'text', text, tone: 'strong' });
export const heading = (text: string): RecordBlock => ({ kind: 'heading', text });

/** "Not recorded" for an empty text. */
export const orNotRecorded = (text: string): string => (text === '' ? 'not recorded' : text);
