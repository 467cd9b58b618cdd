import { describe, expect, test } from 'vitest';
import { sha256 } from '../../../server/src/audit/sha256.ts';
import { signCheckpoint } from '../../../server/src/audit/checkpoint.ts';
import { verifierKey } from '../../../server/src/audit/signed-note.ts';
import { readNote } from '../../../server/src/verify/bytes.ts';

test('reads notes by any key: the base64 of a key may hold plus signs and slashes', () => {
  const keys = Array.from({ length: 200 }, (_, i) => {
    const signer = { name: 'unhindered.local', seed: sha256(`seed ${String(i)}`) };
    const checkpoint = { origin: 'unhindered.local/ev_1', size: 7, root: sha256('root') };
    const vkey = verifierKey(signer);
    const note = readNote(signCheckpoint(checkpoint, signer), vkey);
    expect(note, vkey).toMatchObject({ origin: 'unhindered.local/ev_1', size: 7 });
    return vkey.split('+').slice(2).join('+');
  });
  expect(keys.some((k) => k.includes('+'))).toBe(true);
  expect(keys.some((k) => k.includes('/'))).toBe(true);
});

describe('VF-1: signatures of keys nobody asked about are passed over (C2SP signed-note)', () => {
  const signer = { name: 'unhindered.local', seed: sha256('the server') };
  const other = { name: 'witness.example/w1', seed: sha256('a witness') };
  const checkpoint = { origin: 'unhindered.local/ev_1', size: 7, root: sha256('root') };
  const note = signCheckpoint(checkpoint, signer);
  const vkey = verifierKey(signer);
  const line = (text: string): string => `${text.split('\n').at(-2) ?? ''}\n`;
  const foreign = line(signCheckpoint(checkpoint, other));
  const body = note.slice(0, note.indexOf('\u2014'));

  test('after and before the own one', () => {
    expect(readNote(note + foreign, vkey)).toMatchObject({ size: 7 });
    expect(readNote(body + foreign + line(note), vkey)).toMatchObject({ size: 7 });
  });

  test.each([
    ['only foreign ones', body + foreign, 'it is signed by another key'],
    ['the own one twice', note + line(note), 'it is signed twice by one key'],
    ['a line that is no signature', `${note}\u2014 a !!!\n`, 'a signature line is malformed'],
    ['ten thousand', note + foreign.repeat(10_000), 'it has too many signatures'],
    ['none', body, 'it is not a signed checkpoint'],
  ])('%s is refused', (_what, text, why) => {
    expect(readNote(text, vkey)).toBe(why);
  });

  test('a broken own signature is not saved by a good foreign one', () => {
    const broken = signCheckpoint({ ...checkpoint, size: 8 }, signer);
    expect(readNote(body + line(broken) + foreign, vkey)).toBe('its signature does not hold');
  });
});
