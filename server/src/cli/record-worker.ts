import { paperFonts } from '../adapters/paper-fonts.ts';
import type { RecordQuestion } from '../flows/records.ts';
import { answerQuestions } from './answer-questions.ts';
import { makeRecord } from './make-record.ts';

/** The thread that makes records. */
answerQuestions((question: RecordQuestion) => makeRecord(question, paperFonts));
