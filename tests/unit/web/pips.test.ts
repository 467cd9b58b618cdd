import type { Protocol, ProtocolTask } from '@unhindered/shared-types';
import { expect, test } from 'vitest';
import { pipsOf } from '../../../web/src/state/pips.ts';

const task = (id: string) => ({ id, title: `Task ${id}` }) as ProtocolTask;
const [a1, a2, b1, b2] = [task('a1'), task('a2'), task('b1'), task('b2')] as const;
const protocol = {
  sections: [
    { letter: 'A', tasks: [a1, a2] },
    { letter: 'B', tasks: [b1, b2] },
  ],
} as Protocol;

test('the strip names a section at its first shown task, and keeps the places of the protocol', () => {
  const of = (shown: ProtocolTask[]) =>
    pipsOf(protocol, shown, (t) => t === 'b1').map((p) => [p.letter, p.number, p.title, p.done]);
  expect(of([a1, a2, b1, b2])).toEqual([
    ['A', 1, 'Task a1', false],
    [null, 2, 'Task a2', false],
    ['B', 3, 'Task b1', true],
    [null, 4, 'Task b2', false],
  ]);
  // Without the answered ones.
  expect(of([a2, b2])).toEqual([
    ['A', 2, 'Task a2', false],
    ['B', 4, 'Task b2', false],
  ]);
  expect(of([])).toEqual([]);
});
