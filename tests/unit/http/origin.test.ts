import type { IncomingMessage } from 'node:http';
import { expect, test } from 'vitest';
import { cookieToken, hostAllowed, originAllowed } from '../../../server/src/http/origin.ts';

const rule = { names: ['lab.example'] };

test.each([
  ['127.0.0.1:4780', true],
  ['192.168.4.20', true],
  ['[::1]:4780', true],
  ['localhost:4780', true],
  ['LAB.example:4780', true],
  ['other.example', false],
  ['127.0.0.1.evil.example', false],
  ['localhost.evil.example', false],
  ['', false],
  [undefined, false],
])('AC-2: Host %s is this server: %s', (host, allowed) => {
  expect(hostAllowed(host, rule)).toBe(allowed);
});

const from = (headers: Record<string, string>): IncomingMessage =>
  ({ headers }) as unknown as IncomingMessage;

test.each<[Record<string, string>, boolean]>([
  [{ host: '127.0.0.1:4780' }, true],
  [{ host: '127.0.0.1:4780', origin: 'http://127.0.0.1:4780' }, true],
  [{ host: 'lab.example', origin: 'https://lab.example', 'sec-fetch-site': 'same-origin' }, true],
  [{ host: '127.0.0.1:4780', 'sec-fetch-site': 'none' }, true],
  [{ host: '127.0.0.1:4780', origin: 'http://127.0.0.1:4781' }, false],
  [{ host: '127.0.0.1:4780', origin: 'http://evil.example' }, false],
  [{ host: '127.0.0.1:4780', origin: 'http://127.0.0.1:4780.evil.example' }, false],
  [{ host: '127.0.0.1:4780', origin: 'null' }, false],
  [{ host: '127.0.0.1:4780', origin: '' }, false],
  [{ host: '127.0.0.1:4780', 'sec-fetch-site': 'cross-site' }, false],
  [{ host: '127.0.0.1:4780', 'sec-fetch-site': 'same-site' }, false],
  [{ host: 'evil.example', origin: 'http://evil.example' }, false],
  [{}, false],
])('AC-3: %j comes from our own pages: %s', (headers, allowed) => {
  expect(originAllowed(from(headers), rule)).toBe(allowed);
});

test('the session token is found among other cookies, and only under its own name', () => {
  expect(cookieToken('a=1; unhindered=tok; b=2')).toBe('tok');
  expect(cookieToken('xunhindered=tok')).toBeUndefined();
  expect(cookieToken(undefined)).toBeUndefined();
});
