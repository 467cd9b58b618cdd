import { insight } from '../evaluation/insight.ts';
import { answerQuestions } from './answer-questions.ts';

/** The thread that computes insights. */
answerQuestions(insight);
