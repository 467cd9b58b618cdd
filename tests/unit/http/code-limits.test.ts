import { expect, test } from 'vitest';
import { CodeLimits } from '../../../server/src/http/code-limits.ts';

test('AC-5: five wrong codes a minute from one source, then it waits; other sources do not', async () => {
  const limits = new CodeLimits();
  for (let i = 0; i < 5; i++) expect(await limits.take('10.0.0.1')).toBe(0);
  const wait = await limits.take('10.0.0.1');
  expect(wait).toBeGreaterThan(0);
  expect(wait).toBeLessThanOrEqual(60);
  expect(await limits.take('10.0.0.2')).toBe(0);
});

test('AC-5: many tries at the same moment do not pass together', async () => {
  const limits = new CodeLimits();
  const waits = await Promise.all(Array.from({ length: 200 }, () => limits.take('10.0.0.1')));
  expect(waits.filter((w) => w === 0)).toHaveLength(5);
});

test('AC-5: a right code does not count', async () => {
  const limits = new CodeLimits();
  for (let i = 0; i < 30; i++) {
    expect(await limits.take('10.0.0.1')).toBe(0);
    await limits.giveBack('10.0.0.1');
  }
});

test('AC-5: 5000 guesses of one source are stopped before 50, and shut nobody else out', async () => {
  const limits = new CodeLimits();
  let made = 0;
  for (let i = 0; i < 5000; i++) if ((await limits.take('10.0.0.1')) === 0) made++;
  expect(made).toBeLessThan(50);
  expect(await limits.take('10.0.0.2')).toBe(0);
});

test('AC-5: guesses from very many sources are stopped together', async () => {
  const limits = new CodeLimits();
  let made = 0;
  for (let i = 0; i < 1000; i++) if ((await limits.take(`10.0.${String(i)}`)) === 0) made++;
  expect(made).toBe(200);
});
