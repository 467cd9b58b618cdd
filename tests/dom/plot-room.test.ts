import { afterEach, expect, test, vi } from 'vitest';
import { plotRoom } from '../../web/src/components/plot-room.ts';

/** Stands for the browser's: tells a width when the test says so. */
const observed = (): { say: (width: number) => void; ended: () => boolean } => {
  let hear: (width: number) => void = () => undefined;
  let over = false;
  vi.stubGlobal(
    'ResizeObserver',
    class {
      constructor(told: (entries: { contentRect: { width: number } }[]) => void) {
        hear = (width) => told([{ contentRect: { width } }]);
      }
      observe(): void {
        over = false;
      }
      disconnect(): void {
        over = true;
      }
    },
  );
  return { say: (width) => hear(width), ended: () => over };
};

afterEach(() => {
  vi.unstubAllGlobals();
  document.documentElement.style.fontSize = '';
});

test('PL-1: a plot has as many units as pixels at the usual size of text, and half as many at twice that size', () => {
  const browser = observed();
  const told: number[] = [];
  const end = plotRoom((units) => void told.push(units))(document.createElement('div'));
  browser.say(640);
  document.documentElement.style.fontSize = '36px';
  browser.say(640);
  document.documentElement.style.fontSize = '27px';
  browser.say(480);
  expect(told).toEqual([640, 320, 320]);
  end();
  expect(browser.ended()).toBe(true);
});
