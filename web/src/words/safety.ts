import { safetyWords } from './en/safety.ts';
import { shellWords } from './en/shell.ts';

/** The words of the safety of the day. */
export const words = { ...shellWords, ...safetyWords };
