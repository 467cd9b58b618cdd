import { expect, test } from 'vitest';
import { follow } from '../../web/src/components/follow.ts';

const click = (how: MouseEventInit = {}): { went: string[]; taken: boolean } => {
  const went: string[] = [];
  const link = document.createElement('a');
  link.href = '/specimen/sp_1';
  const go = follow((path) => went.push(path));
  link.onclick = (event) => go(event as never);
  const event = new MouseEvent('click', { cancelable: true, ...how });
  link.dispatchEvent(event);
  return { went, taken: event.defaultPrevented };
};

test('a plain click on a link goes to its address without a new page', () => {
  expect(click()).toEqual({ went: ['/specimen/sp_1'], taken: true });
});

test.each([
  { ctrlKey: true },
  { metaKey: true },
  { shiftKey: true },
  { altKey: true },
  { button: 1 },
])('the browser opens a new tab or window where it is asked to: %j', (how) => {
  expect(click(how)).toEqual({ went: [], taken: false });
});
