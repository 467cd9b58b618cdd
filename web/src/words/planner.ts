import { plannerWords } from './en/planner.ts';
import { shellWords } from './en/shell.ts';

/** The words of the planner. */
export const words = { ...shellWords, plan: plannerWords };
