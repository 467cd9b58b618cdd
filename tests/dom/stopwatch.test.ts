import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { secondsText, Stopwatch } from '../../web/src/state/stopwatch.svelte.ts';

let now = 0;
const made: Stopwatch[] = [];
const watch = (): Stopwatch => {
  const w = new Stopwatch('ev', localStorage, () => now);
  made.push(w);
  return w;
};

beforeEach(() => {
  vi.useFakeTimers();
  localStorage.clear();
  now = 1_000_000;
});
afterEach(() => {
  for (const w of made.splice(0)) w.destroy();
  vi.useRealTimers();
});

test('a run counts from its stored start, over a reload and a phone that slept', () => {
  const first = watch();
  first.start();
  now += 1234;
  first.split();
  first.destroy();
  // Nothing ran in between: no timer, no page.
  now += 60_000;
  const second = watch();
  expect(second.running).toBe(true);
  expect(second.elapsed).toBe(61_234);
  expect(second.splits).toEqual([1234]);
  now += 16;
  second.stop();
  now += 5000;
  expect(watch().stopped).toBe(true);
  expect(secondsText(watch().elapsed)).toBe('61.3');
});

test('it redraws while it runs, and only then', () => {
  const w = watch();
  w.start();
  now += 300;
  vi.advanceTimersByTime(300);
  expect(w.elapsed).toBe(300);
  w.stop();
  now += 300;
  vi.advanceTimersByTime(300);
  expect(w.elapsed).toBe(300);
  expect(vi.getTimerCount()).toBe(0);
});

test('a start while it runs changes nothing; cleared is as new', () => {
  const w = watch();
  w.start();
  now += 500;
  w.start();
  w.stop();
  expect(w.elapsed).toBe(500);
  w.clear();
  expect([w.running, w.stopped, w.elapsed, localStorage.length]).toEqual([false, false, 0, 0]);
  w.split();
  w.stop();
  expect(w.stopped).toBe(false);
});

test('a clock that was set back is said, and gives no negative time', () => {
  const w = watch();
  w.start();
  now -= 10_000;
  vi.advanceTimersByTime(100);
  expect([w.astray, w.elapsed]).toEqual([true, 0]);
});

test.each(['', '{', '[]', '{"startedAt":"x","splits":[]}', '{"startedAt":null,"splits":[]}'])(
  'what was kept wrongly (%s) is no run',
  (kept) => {
    localStorage.setItem('stopwatch:ev', kept);
    expect(watch().running).toBe(false);
  },
);

test.each([
  [59_950, '60'],
  [1250, '1.3'],
  [0, '0'],
])('%i ms are %s s to the tenth', (ms, text) => {
  expect(secondsText(ms)).toBe(text);
});
