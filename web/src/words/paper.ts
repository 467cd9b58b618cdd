import { paperWords } from './en/paper.ts';
import { shellWords } from './en/shell.ts';

/** The words of ratings from paper. */
export const words = { ...shellWords, ...paperWords };
