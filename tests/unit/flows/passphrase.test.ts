import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import {
  isPassphrase,
  keepable,
  setPassphrase,
  signInByPassphrase,
} from '../../../server/src/flows/passphrase.ts';
import { newSession, sessionOf } from '../../../server/src/flows/sessions.ts';
import { testApp } from '../../support/test-app.ts';

const WORDS = 'otter gravel lantern Zoë';

/** A lead at a device. */
const atDevice = async (test: ReturnType<typeof testApp>, seat: string | null = null) => {
  const made = newSession(test.app, { seat, panel: seat });
  await test.app.store.commit({ sessions: [made.session] });
  return made;
};

test('AC-21: what is kept is a salt and a key of scrypt, other each time, never the passphrase', async () => {
  const kept = await keepable(WORDS);
  expect(kept).toMatch(/^scrypt\$131072\$8\$1\$[\w-]{22}\$[\w-]{43}$/u);
  expect(await keepable(WORDS)).not.toBe(kept);
  expect(await isPassphrase(WORDS, kept)).toBe(true);
  // The same letters, typed on another keyboard.
  expect(await isPassphrase(WORDS.normalize('NFD'), kept)).toBe(true);
  for (const wrong of [`${WORDS} `, WORDS.toUpperCase(), '', kept]) {
    expect(await isPassphrase(wrong, kept), wrong).toBe(false);
  }
  expect(await isPassphrase(WORDS, null)).toBe(false);
});

test('AC-21: the lead comes back with the passphrase; nothing tells what was wrong', async () => {
  const test = testApp();
  const none = await signInByPassphrase(test.app, WORDS);
  const { session } = await atDevice(test);
  expect(await setPassphrase(test.app, session, WORDS)).toMatchObject({ ok: true });
  const back = await signInByPassphrase(test.app, WORDS);
  if (!back.ok) throw new Error(back.rejection.message);
  expect(await sessionOf(test.app, back.value.token)).toMatchObject({ seat: null, panel: null });
  const wrong = await signInByPassphrase(test.app, `${WORDS}!`);
  const nobody = await signInByPassphrase(undefined, WORDS);
  expect(wrong).toMatchObject({ ok: false, rejection: { code: 'code-unknown' } });
  expect(nobody).toEqual(wrong);
  expect(none).toEqual(wrong);
});

test('AC-21: a new passphrase ends the lead’s other sessions, and no reviewer’s', async () => {
  const test = testApp(new MemoryStore());
  const [here, elsewhere, reviewer] = [
    await atDevice(test),
    await atDevice(test),
    await atDevice(test, 'st_reviewer'),
  ];
  await setPassphrase(test.app, here.session, WORDS);
  expect(await sessionOf(test.app, here.token)).toBeDefined();
  expect(await sessionOf(test.app, reviewer.token)).toBeDefined();
  expect(await sessionOf(test.app, elsewhere.token)).toBeUndefined();
  expect(test.ended).toEqual([{ sessions: [elsewhere.session.id], why: 'signed-out' }]);
});

test('AC-21: a seat sets no passphrase', async () => {
  const test = testApp();
  const { session } = await atDevice(test, 'st_moderator');
  expect(await setPassphrase(test.app, session, WORDS)).toMatchObject({
    ok: false,
    rejection: { code: 'role-may-not' },
  });
  expect(await test.app.store.passphrase()).toBeNull();
});
