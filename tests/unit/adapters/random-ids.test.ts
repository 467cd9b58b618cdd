import * as v from 'valibot';
import { documentId, seatId } from '../../../shared-types/src/index.ts';
import { expect, test } from 'vitest';
import { CODE_SIGNS, randomIds } from '../../../server/src/adapters/random-ids.ts';

test('AC-7: a typed code has 8 signs of 30, none of which can be taken for another', () => {
  expect(new Set(CODE_SIGNS).size).toBe(30);
  expect(CODE_SIGNS).not.toMatch(/[0O1ILU]/u);
  for (let i = 0; i < 500; i++) {
    expect(randomIds.code()).toMatch(new RegExp(`^[${CODE_SIGNS}]{4}-[${CODE_SIGNS}]{4}$`, 'u'));
  }
});

test('ids fit their schemas; secrets have the bits they are asked for', () => {
  expect(v.is(documentId, randomIds.id('dc'))).toBe(true);
  expect(v.is(seatId, randomIds.id('st'))).toBe(true);
  expect(Buffer.from(randomIds.secret(16), 'base64url')).toHaveLength(16);
  expect(Buffer.from(randomIds.secret(32), 'base64url')).toHaveLength(32);
  expect(randomIds.nonce()).toMatch(/^[0-9a-f]{64}$/u);
});
