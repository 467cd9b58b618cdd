import { door } from './chapters/door.ts';
import { round } from './chapters/round.ts';
import type { Chapter } from './stage.ts';

/** The whole walk, in order. */
export const CHAPTERS: readonly Chapter[] = [door, round];
