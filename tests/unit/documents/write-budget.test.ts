import { expect, test } from 'vitest';
import { WriteBudget } from '../../../server/src/documents/write-budget.ts';
import { HandClock } from '../../support/hand-clock.ts';

const HOUR = 3600_000;

test('SY-10: a clock that is set back bars nobody from writing', () => {
  const clock = new HandClock();
  const budget = new WriteBudget(clock);
  while (budget.take());
  clock.jump(-HOUR);
  clock.advance(1000);
  for (let i = 0; i < 30; i++) expect(budget.take()).toBe(true);
  expect(budget.take()).toBe(false);
});

test('a burst, then so many a second', () => {
  const clock = new HandClock();
  const budget = new WriteBudget(clock);
  const taken = (): number =>
    Array.from({ length: 200 }, () => budget.take()).filter(Boolean).length;
  expect(taken()).toBe(60);
  clock.advance(1000);
  expect(taken()).toBe(30);
});
