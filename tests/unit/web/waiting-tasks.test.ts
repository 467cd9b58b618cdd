import { expect, test } from 'vitest';
import { WaitingTasks } from '../../../web/src/state/waiting-tasks.ts';

/** A storage of the browser, in memory. */
const storage = (): Storage => {
  const kept = new Map<string, string>();
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  } as Storage;
};

test('tasks that wait are counted once each, also after a reload, until all is saved', () => {
  const store = storage();
  const sheet = new WaitingTasks('dc_1', store);
  expect(sheet.count).toBe(0);
  for (const task of ['strap', 'mask', 'strap']) sheet.add(task);
  expect(sheet.count).toBe(2);
  expect(new WaitingTasks('dc_1', store).count).toBe(2);
  expect(new WaitingTasks('dc_2', store).count).toBe(0);
  sheet.clear();
  expect(sheet.count).toBe(0);
  expect(new WaitingTasks('dc_1', store).count).toBe(0);
});
