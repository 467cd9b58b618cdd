import { constants, PerformanceObserver } from 'node:perf_hooks';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { eachInTurns, inStages, RATINGS_A_TURN } from '../../../server/src/flows/in-turns.ts';

/** What the clock says, milliseconds: time passes only where a test lets it. */
let now = 0;
beforeEach(() => {
  now = 0;
  vi.spyOn(performance, 'now').mockImplementation(() => now);
});
afterEach(() => vi.restoreAllMocks());

test('LG-2: a large panel lets other work in while its tasks are judged, each of them once', async () => {
  const order: string[] = [];
  const tasks = ['a', 'b', 'c', 'd'];
  setImmediate(() => order.push('another panel'));
  await eachInTurns(
    tasks,
    () => RATINGS_A_TURN / 2,
    (task) => order.push(task),
  );
  expect(order).toEqual(['a', 'b', 'another panel', 'c', 'd']);
});

/** What Node says of one collection. */
interface Collection {
  kind: number;
  flags: number;
}

/** Collections of young objects that were asked for while `work` ran. */
const collectionsAskedFor = async (work: () => Promise<void>): Promise<number> => {
  let asked = 0;
  const observer = new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      const { kind, flags } = (entry as PerformanceEntry & { detail: Collection }).detail;
      const minor = kind === constants.NODE_PERFORMANCE_GC_MINOR;
      if (minor && flags & constants.NODE_PERFORMANCE_GC_FLAGS_FORCED) asked++;
    }
  });
  observer.observe({ entryTypes: ['gc'] });
  await work();
  await new Promise((resolve) => setTimeout(resolve, 20));
  observer.disconnect();
  return asked;
};

test('LG-4: work that stays in memory has young objects collected on its way, a small panel has not', async () => {
  const judged = (ratings: number, keeps: boolean) => (): Promise<void> =>
    eachInTurns(
      ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'],
      () => ratings,
      () => undefined,
      { keeps },
    );
  expect(await collectionsAskedFor(judged(RATINGS_A_TURN, true))).toBe(2);
  expect(await collectionsAskedFor(judged(RATINGS_A_TURN, false))).toBe(0);
  expect(await collectionsAskedFor(judged(5, true))).toBe(0);
});

test('a small panel is judged in one go', async () => {
  const order: string[] = [];
  const done = eachInTurns(
    ['a', 'b'],
    () => 5,
    (task) => order.push(task),
  );
  expect(order).toEqual(['a', 'b']);
  await done;
});

test('LG-2: what takes long lets other work in earlier', async () => {
  const order: string[] = [];
  setImmediate(() => order.push('another panel'));
  await eachInTurns(
    ['a', 'b', 'c'],
    () => 5,
    (task) => {
      order.push(task);
      now += 3;
    },
  );
  expect(order).toEqual(['a', 'b', 'another panel', 'c']);
});

test('LG-2: other work is let in between the stages of one large thing, not of a small one', async () => {
  const run = async (ratings: number): Promise<string[]> => {
    const order: string[] = [];
    function* stages(): Generator<void, void> {
      order.push('read');
      yield;
      order.push('taken');
    }
    setImmediate(() => order.push('another panel'));
    await inStages(ratings, stages());
    await new Promise((resolve) => setImmediate(resolve));
    return order;
  };
  expect(await run(RATINGS_A_TURN)).toEqual(['read', 'another panel', 'taken']);
  expect(await run(RATINGS_A_TURN - 1)).toEqual(['read', 'taken', 'another panel']);
});
