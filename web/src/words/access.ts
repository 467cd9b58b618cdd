import { shellWords } from './en/shell.ts';
import { accessWords } from './en/access.ts';

/** The words of the time to access. */
export const words = { ...shellWords, access: accessWords };
