import type { SeriesAnswer, SeriesQuestion } from '@unhindered/shared-types';
import { readManikin } from './read-manikin.ts';
import { readMotion } from './read-motion.ts';

/** Reads text piece by piece as the question says; see readMotion and readManikin. */
export const readSeries = (
  question: SeriesQuestion,
): { push: (text: string) => void; rows: () => number; end: () => SeriesAnswer } =>
  question.kind === 'motion'
    ? readMotion(question.mapping)
    : readManikin(question.mapping, question.span);
