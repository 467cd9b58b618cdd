import { expect, test } from 'vitest';
import { CodeLimits } from '../../../server/src/http/code-limits.ts';
import { HandClock } from '../../support/hand-clock.ts';

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

test('AC-17: a closed source and closed entry are told once each, with their times, for an hour', async () => {
  const clock = new HandClock();
  const limits = new CodeLimits(() => clock.now());
  let told = 0;
  limits.closed = () => told++;
  expect(limits.closing()).toBeNull();
  for (let i = 0; i < 9; i++) await limits.take('10.0.0.1');
  expect(told).toBe(1);
  expect(limits.closing()).toMatchObject({
    at: new Date(clock.now()).toISOString(),
    sources: 1,
    everybodyUntil: null,
  });
  const until = Date.parse(limits.closing()?.sourceUntil ?? '');
  expect(until - clock.now()).toBeGreaterThan(0);
  expect(until - clock.now()).toBeLessThanOrEqual(60_000);
  for (let i = 0; i < 300; i++) await limits.take(`10.1.0.${String(i)}`);
  expect(told).toBe(2);
  expect(limits.closing()?.everybodyUntil).not.toBeNull();
  clock.advance(59 * 60_000);
  expect(limits.closing()).toMatchObject({ everybodyUntil: null, sourceUntil: null });
  clock.advance(2 * 60_000);
  expect(limits.closing()).toBeNull();
});

test('AC-17: opened again, every source may try again', async () => {
  const limits = new CodeLimits();
  for (let i = 0; i < 300; i++) await limits.take(`10.1.0.${String(i)}`);
  expect(await limits.take('10.0.0.1')).toBeGreaterThan(0);
  limits.reopen();
  expect(limits.closing()).toBeNull();
  expect(await limits.take('10.0.0.1')).toBe(0);
});
