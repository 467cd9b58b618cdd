import { shellWords } from './en/shell.ts';

/** The words of the shell, for what is loaded before any screen. */
export const words: typeof shellWords = shellWords;
