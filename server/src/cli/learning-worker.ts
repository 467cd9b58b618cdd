import { learnFrom } from '../evaluation/learning.ts';
import { answerQuestions } from './answer-questions.ts';

/** The thread that works out what a reviewer learns from an evaluation. */
answerQuestions(learnFrom);
