import type { Span } from './compressions.ts';
import { readManikin, type ManikinMapping, type ManikinRead } from './read-manikin.ts';
import { readMotion, type MotionMapping, type MotionRead } from './read-motion.ts';

/** What to read a file as. */
export type SeriesQuestion =
  | { kind: 'motion'; mapping: MotionMapping }
  | { kind: 'manikin'; mapping: ManikinMapping; span: Span };

export type SeriesAnswer = MotionRead | ManikinRead;

/** Reads text piece by piece as the question says; see readMotion and readManikin. */
export const readSeries = (
  question: SeriesQuestion,
): { push: (text: string) => void; rows: () => number; end: () => SeriesAnswer } =>
  question.kind === 'motion'
    ? readMotion(question.mapping)
    : readManikin(question.mapping, question.span);
