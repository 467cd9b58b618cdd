import { bench } from './chapters/bench.ts';
import { door } from './chapters/door.ts';
import { lab } from './chapters/lab.ts';
import { round } from './chapters/round.ts';
import { shelf } from './chapters/shelf.ts';
import type { Chapter } from './stage.ts';

/** The whole walk, in order. */
export const CHAPTERS: readonly Chapter[] = [door, round, bench, lab, shelf];
