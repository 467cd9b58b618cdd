import { seriesWords } from './en/series.ts';
import { shellWords } from './en/shell.ts';
import { trialWords } from './en/trials.ts';

/** The words of the series: files of motion and of a manikin. */
export const words = { ...shellWords, ...trialWords, ...seriesWords };
