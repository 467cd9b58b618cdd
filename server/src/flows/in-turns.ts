import { setImmediate as nextTurn } from 'node:timers/promises';
import { collectYoung } from './young-objects.ts';

/** Ratings judged, or written as JSON, between two turns of the event loop: a few milliseconds. */
export const RATINGS_A_TURN = 250;
/** The same where the machine is slow, or the code runs for the first time: milliseconds. */
const MS_A_TURN = 4;
/** Turns of work that stays in memory between two collections of young objects: about 5 MB. */
const TURNS_A_COLLECTION = 4;
/** Signs of an event's text that stand for one rating in it. */
const SIGNS_A_RATING = 100;

/**
 * LG-2: lets other work in after every `RATINGS_A_TURN` ratings, or earlier when they take long, so that nobody on
 * another panel waits for a large one; what is less in all is done in one go. Work that
 * `keeps` most of what it makes has young objects collected on its way (LG-4).
 */
export const eachInTurns = async <T>(
  items: readonly T[],
  ratingsOf: (item: T) => number,
  work: (item: T) => unknown,
  { keeps = false } = {},
): Promise<void> => {
  let since = 0;
  let turns = 0;
  let began = performance.now();
  for (const item of items) {
    const working = work(item);
    if (working instanceof Promise) await working;
    since += ratingsOf(item);
    if (since < RATINGS_A_TURN && performance.now() - began < MS_A_TURN) continue;
    await nextTurn();
    if (keeps && ++turns % TURNS_A_COLLECTION === 0) {
      collectYoung();
      await nextTurn();
    }
    since = 0;
    began = performance.now();
  }
};

/** Works off the stages of one thing at once. */
export const inOneGo = (stages: Iterator<void>): void => {
  while (!stages.next().done);
};

/** LG-2: works off the stages of one thing, with a turn between them where it holds that many ratings. */
export const inStages = async (ratings: number, stages: Iterator<void>): Promise<void> => {
  if (ratings < RATINGS_A_TURN) inOneGo(stages);
  else while (!stages.next().done) await nextTurn();
};

/** Lets other work in before something large is begun. */
export const turnFor = async <T>(
  items: readonly T[],
  ratingsOf: (item: T) => number,
): Promise<void> => {
  if (items.reduce((sum, item) => sum + ratingsOf(item), 0) >= RATINGS_A_TURN) await nextTurn();
};

/** How many ratings the text of an event may hold. */
export const ratingsInText = (text: string): number => text.length / SIGNS_A_RATING;
