import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto';
import { done, refused, type Outcome } from '@unhindered/shared-types';
import type { Session } from '../ports/store.ts';
import type { App } from './app.ts';
import { newSession } from './sessions.ts';

/**
 * What one guess costs: 128 MiB and some tenths of a second. N = 2^17, r = 8, p = 1 is what the OWASP Password Storage
 * Cheat Sheet asks of scrypt (from memory).
 */
const COST = { N: 2 ** 17, r: 8, p: 1, maxmem: 256 * 1024 * 1024 };
const KEY_BYTES = 32;
const SALT_BYTES = 16;

/** One at a time: several at once would take memory from the panels. */
let turn: Promise<unknown> = Promise.resolve();

const derive = (passphrase: string, salt: Buffer): Promise<Buffer> => {
  const mine = turn.then(
    () =>
      new Promise<Buffer>((resolve, reject) => {
        scrypt(passphrase.normalize('NFC'), salt, KEY_BYTES, COST, (error, key) => {
          if (error) reject(error);
          else resolve(key);
        });
      }),
  );
  turn = mine.catch(() => undefined);
  return mine;
};

/** What is kept of a passphrase: `scrypt$N$r$p$salt$key`, the last two in base64url. */
export const keepable = async (passphrase: string): Promise<string> => {
  const salt = randomBytes(SALT_BYTES);
  const key = await derive(passphrase, salt);
  const { N, r, p } = COST;
  return ['scrypt', N, r, p, salt.toString('base64url'), key.toString('base64url')].join('$');
};

/** Whether a passphrase is the kept one. Without a kept one it takes as long and is wrong. */
export const isPassphrase = async (typed: string, kept: string | null): Promise<boolean> => {
  const [, , , , salt = '', key = ''] = kept?.split('$') ?? [];
  const stored = Buffer.from(key, 'base64url');
  const found = await derive(typed, Buffer.from(salt, 'base64url'));
  return stored.length === KEY_BYTES && timingSafeEqual(found, stored);
};

/** The lead of an organisation sets or replaces the passphrase; every other session of the lead ends. */
export const setPassphrase = async (
  app: App,
  session: Session,
  passphrase: string,
): Promise<Outcome<object>> => {
  if (session.seat !== null) return refused('role-may-not', 'Only the lead has a passphrase.');
  const kept = await keepable(passphrase);
  const others = (await app.store.leadSessions())
    .map((s) => s.id)
    .filter((id) => id !== session.id);
  await app.store.commit({ passphrase: kept, endSessions: others });
  if (others.length > 0) app.ended(others, 'signed-out');
  return done({});
};

/**
 * AC-21: the lead signs in with the organisation's name and the passphrase. An organisation that does not exist, one
 * without a passphrase and a wrong passphrase get one answer, after the same work.
 */
export const signInByPassphrase = async (
  app: App | undefined,
  passphrase: string,
): Promise<Outcome<{ token: string; session: Session }>> => {
  const kept = (await app?.store.passphrase()) ?? null;
  const good = await isPassphrase(passphrase, kept);
  if (!app || !good) {
    return refused('code-unknown', 'Organisation and passphrase do not belong together.');
  }
  const made = newSession(app, { seat: null, panel: null });
  await app.store.commit({ sessions: [made.session] });
  return done(made);
};
