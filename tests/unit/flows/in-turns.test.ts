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
