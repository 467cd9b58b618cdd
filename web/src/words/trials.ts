import { shellWords } from './en/shell.ts';
import { trialWords } from './en/trials.ts';

/** The words of the bench. */
export const words = { ...shellWords, ...trialWords };
