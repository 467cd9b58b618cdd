import { deskWords } from './en/desk.ts';
import { insightWords } from './en/insight.ts';
import { words as seatWords } from './index.ts';

/** With the words of the desk, the wall and the record, which a reviewer's phone does not load. */
export const words = { ...seatWords, ...deskWords, ...insightWords };
