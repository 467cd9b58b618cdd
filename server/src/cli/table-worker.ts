import { answerTable } from '../evaluation/table-figures.ts';
import { answerQuestions } from './answer-questions.ts';

/** The thread that computes the figures of a large panel's whole table, before its opening shows and before its lock. */
answerQuestions(answerTable);
