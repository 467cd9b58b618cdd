import { learningWords } from './en/learning.ts';
import { words as seatWords } from './index.ts';

/** The words of learning and practice, with those that a sheet is filled in by. */
export const words = { ...seatWords, ...learningWords };
