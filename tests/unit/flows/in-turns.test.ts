import { expect, test } from 'vitest';
import { eachInTurns, RATINGS_A_TURN } from '../../../server/src/flows/in-turns.ts';

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
