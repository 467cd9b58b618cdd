import { componentsByReml } from '../consensus/variance-components.ts';
import { answerQuestions } from './answer-questions.ts';

/** The thread that splits the variance of a table of ratings; null where it cannot be split. */
answerQuestions((cells: Parameters<typeof componentsByReml>[0]) => componentsByReml(cells) ?? null);
