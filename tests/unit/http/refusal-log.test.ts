import { expect, test } from 'vitest';
import { isAttempt, RefusalLog } from '../../../server/src/http/refusal-log.ts';
import { HandClock } from '../../support/hand-clock.ts';

test('LO-1: an attempt is one line with door, question, answer and session, and never the token', () => {
  const lines: [string, unknown][] = [];
  const log = {
    info: (message: string, facts?: unknown) => void lines.push([message, facts]),
    error: () => undefined,
  };
  const clock = new HandClock();
  const refusals = new RefusalLog(log, clock);
  const cookie = 'unhindered=a-secret-token';
  refusals.note({ door: 'panel socket', asked: 'lock', code: 'role-may-not', cookie });
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatchObject(['refused', { door: 'panel socket', asked: 'lock' }]);
  expect(JSON.stringify(lines)).not.toContain('a-secret-token');
  for (let i = 0; i < 500; i++) {
    refusals.note({
      door: 'http',
      asked: 'POST /tickets',
      code: 'unknown-thing',
      cookie: undefined,
    });
  }
  expect(lines).toHaveLength(60);
  clock.advance(60_000);
  refusals.note({ door: 'http', asked: 'POST /tickets', code: 'unknown-thing', cookie: undefined });
  expect(lines.at(-2)).toMatchObject(['refused', { asked: 'more of the same', more: 441 }]);
  expect(lines).toHaveLength(62);
});

test('a slip in a form is no attempt, what the role may not is one', () => {
  expect(isAttempt('bad-input')).toBe(false);
  expect(isAttempt('role-may-not')).toBe(true);
});
