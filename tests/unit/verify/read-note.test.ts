import { expect, test } from 'vitest';
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
