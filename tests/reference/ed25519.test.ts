import { describe, expect, test } from 'vitest';
import { publicKeyOf, signEd25519, verifyEd25519 } from '../../server/src/audit/ed25519.ts';
import vectors from '../../fixtures/vectors/ed25519.json' with { type: 'json' };

const bytes = (hex: string): Uint8Array => new Uint8Array(Buffer.from(hex, 'hex'));

describe('RFC 8032 section 7.1', () => {
  test.each(vectors.rfc8032)('$name', (v) => {
    expect(Buffer.from(publicKeyOf(bytes(v.secret))).toString('hex')).toBe(v.public);
    expect(Buffer.from(signEd25519(bytes(v.msg), bytes(v.secret))).toString('hex')).toBe(v.sig);
    expect(verifyEd25519(bytes(v.msg), bytes(v.sig), bytes(v.public))).toBe(true);
  });
});

describe('Wycheproof Ed25519 (C2SP/wycheproof)', () => {
  test.each(vectors.wycheproof)('case $tcId $comment', (v) => {
    expect(verifyEd25519(bytes(v.msg), bytes(v.sig), bytes(v.public))).toBe(v.valid);
  });
});
