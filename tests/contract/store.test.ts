import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { MemoryStore } from '../../server/src/adapters/memory-store.ts';
import { openPostgres } from '../../server/src/adapters/postgres-open.ts';
import { PostgresStore } from '../../server/src/adapters/postgres-store.ts';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import type { Invitation, Session, Store } from '../../server/src/ports/store.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const sqlite = (): Promise<Store> => {
  const box = sheetBox(new Uint8Array(32).fill(7));
  const store = new SqliteStore(join(temporaryDirectory(), 'store.sqlite'), 'ws_test', box);
  onTestFinished(() => store.close());
  return Promise.resolve(store);
};

let database: Awaited<ReturnType<typeof freshDatabase>> | undefined;
let workspaces = 0;

/** A workspace of its own in one database for all tests. */
const postgres = async (): Promise<Store> => {
  const box = sheetBox(new Uint8Array(32).fill(7));
  const workspace = `ws_${String(++workspaces)}`;
  const fail = (error: Error): never => {
    throw error;
  };
  const pool = await openPostgres(database?.address ?? '', fail);
  onTestFinished(() => pool.end());
  return new PostgresStore(pool, workspace, box);
};

const session = (id: string, at: string): Session => ({
  id,
  seat: 'st_1',
  panel: 'pn_1',
  device: 'dv_1',
  startedAt: at,
  seenAt: at,
  arrival: 'admitted',
});

const invitation = (id: string, more: Partial<Invitation> = {}): Invitation => ({
  id,
  kind: 'seat',
  panel: 'pn_1',
  seat: 'st_1',
  secret: `secret of ${id}`,
  code: `code of ${id}`,
  expiresAt: '2026-03-02T10:00:00.000Z',
  once: true,
  ends: null,
  open: false,
  ...more,
});

const write = (document: string, byte: number, newClients: number[] = []) => ({
  document,
  seat: 'st_1',
  device: 'dv_1',
  at: '2026-03-02T09:00:00.000Z',
  bytes: Uint8Array.of(byte),
  newClients,
});

describe.each([
  ['in memory', () => Promise.resolve(new MemoryStore() as Store), false],
  ['in SQLite', sqlite, false],
  ['in PostgreSQL', postgres, noPostgres],
])('a store %s', (name, make, absent) => {
  if (absent) {
    test.skip('needs a PostgreSQL server (TEST_POSTGRES)');
    return;
  }
  beforeAll(async () => {
    if (name === 'in PostgreSQL') database = await freshDatabase();
  });
  afterAll(async () => {
    if (name === 'in PostgreSQL') await database?.drop();
  });

  test('a practice takes the place of the one before, and is its seat’s alone', async () => {
    const store = await make();
    expect(await store.practices('st_1')).toEqual([]);
    const first = { seat: 'st_1', evaluation: 'ev_2', text: '{}' };
    await store.commit({ practices: [first, { ...first, evaluation: 'ev_1' }] });
    await store.commit({
      practices: [
        { ...first, text: '{"n":2}' },
        { ...first, seat: 'st_2' },
      ],
    });
    expect(await store.practices('st_1')).toEqual([
      { ...first, evaluation: 'ev_1' },
      { ...first, text: '{"n":2}' },
    ]);
  });

  test('a line of the catalogue takes the place of the one before', async () => {
    const store = await make();
    expect(await store.catalogue()).toEqual([]);
    await store.commit({ catalogue: [{ log: 'ev_1', size: 3, text: '{}' }] });
    const line = { log: 'ev_1', size: 4, text: '{"a":1}' };
    await store.commit({ catalogue: [line, { log: 'ev_2', size: 1, text: '{}' }] });
    expect(await store.catalogue()).toEqual([line, { log: 'ev_2', size: 1, text: '{}' }]);
  });

  describe('logs', () => {
    test('takes events at the size of the log, in order, and gives them back', async () => {
      const store = await make();
      expect(
        await store.commit({ appends: [{ log: 'ev_1', from: 0, texts: ['a', 'b'] }] }),
      ).toEqual({ ok: true, writes: [], numbers: [] });
      await store.commit({ appends: [{ log: 'ev_1', from: 2, texts: ['c'] }] });
      await store.commit({ appends: [{ log: 'ev_0', from: 0, texts: ['x'] }] });
      expect(await store.events('ev_1')).toEqual(['a', 'b', 'c']);
      expect(await store.events('ev_1', 2)).toEqual(['c']);
      expect(await store.rows('ev_1')).toEqual([
        { seq: 0, text: 'a' },
        { seq: 1, text: 'b' },
        { seq: 2, text: 'c' },
      ]);
      expect(await store.events('ev_9')).toEqual([]);
      expect(await store.logs()).toEqual([
        { log: 'ev_0', size: 1 },
        { log: 'ev_1', size: 3 },
      ]);
    });

    test.each([0, 1, 3])('refuses events that say they begin at %i in a log of 2', async (from) => {
      const store = await make();
      await store.commit({ appends: [{ log: 'ev_1', from: 0, texts: ['a', 'b'] }] });
      const refused = await store.commit({ appends: [{ log: 'ev_1', from, texts: ['z'] }] });
      expect(refused).toEqual({ ok: false, conflict: 'log' });
      expect(await store.events('ev_1')).toEqual(['a', 'b']);
    });

    test('keeps nothing of a batch when one of its parts is refused', async () => {
      const store = await make();
      await store.commit({
        appends: [{ log: 'ev_1', from: 0, texts: ['a'] }],
        documents: [{ id: 'dc_1', log: 'ev_1', kind: 'sheet' }],
      });
      const refused = await store.commit({
        appends: [
          { log: 'ev_2', from: 0, texts: ['new'] },
          { log: 'ev_1', from: 0, texts: ['taken'] },
        ],
        checkpoints: [{ log: 'ev_2', size: 1, note: 'note' }],
        writes: [write('dc_1', 1)],
        sessions: [session('s1', '2026-03-02T09:00:00.000Z')],
        freeze: [{ document: 'dc_1', updates: null }],
      });
      expect(refused).toEqual({ ok: false, conflict: 'log' });
      expect(await store.events('ev_2')).toEqual([]);
      expect(await store.checkpoints('ev_2')).toEqual([]);
      expect(await store.session('s1')).toBeUndefined();
      expect((await store.load('dc_1'))?.updates).toEqual([]);
      expect(await store.commit({ writes: [write('dc_1', 2)] })).toMatchObject({
        ok: true,
        writes: ['kept'],
      });
    });

    test('keeps the first checkpoint of a size, and gives them back by size', async () => {
      const store = await make();
      await store.commit({ checkpoints: [{ log: 'ev_1', size: 10, note: 'ten' }] });
      await store.commit({ checkpoints: [{ log: 'ev_1', size: 2, note: 'two' }] });
      await store.commit({ checkpoints: [{ log: 'ev_1', size: 2, note: 'another two' }] });
      expect(await store.checkpoints('ev_1')).toEqual(['two', 'ten']);
      expect(await store.checkpoints('ev_2')).toEqual([]);
    });

    test('keeps one answer for each actor and command', async () => {
      const store = await make();
      const answer = { actor: 'st_1', command: 'cm_1', asked: 'h', answer: '{"ok":true}' };
      await store.commit({ answers: [answer] });
      expect(await store.answer('st_1', 'cm_1')).toEqual(answer);
      expect(await store.answer('st_2', 'cm_1')).toBeUndefined();
      const again = { answers: [{ ...answer, answer: 'other' }] };
      expect(await store.commit(again)).toEqual({ ok: false, conflict: 'command' });
      expect(await store.commit({ answers: [{ ...answer, actor: 'st_2' }] })).toMatchObject({
        ok: true,
      });
    });
  });

  describe('documents', () => {
    const withDocument = async (kind: 'sheet' | 'board' = 'sheet'): Promise<Store> => {
      const store = await make();
      await store.commit({ documents: [{ id: 'dc_1', log: 'ev_1', kind }] });
      return store;
    };

    test('knows a document that is empty from one that was never made', async () => {
      const store = await withDocument();
      expect(await store.load('dc_1')).toEqual({ updates: [], owners: new Map() });
      expect(await store.load('dc_2')).toBeUndefined();
    });

    test.each(['sheet', 'board'] as const)(
      'gives the updates of a %s back in order',
      async (kind) => {
        const store = await withDocument(kind);
        await store.commit({ writes: [write('dc_1', 1, [77]), write('dc_1', 2)] });
        await store.commit({ writes: [{ ...write('dc_1', 3, [77, 78]), seat: 'st_2' }] });
        const loaded = await store.load('dc_1');
        expect(loaded?.updates.map((u) => [...u.bytes])).toEqual([[1], [2], [3]]);
        expect(loaded?.updates[0]?.at).toBe('2026-03-02T09:00:00.000Z');
        // A client id belongs to whom it was bound to first.
        expect(loaded?.owners).toEqual(
          new Map([
            [77, 'st_1'],
            [78, 'st_2'],
          ]),
        );
      },
    );

    test('SY-13: says under which numbers it kept what, and reads exactly those, of several documents', async () => {
      const store = await withDocument();
      await store.commit({ documents: [{ id: 'dc_2', log: 'ev_1', kind: 'board' }] });
      const writes = [write('dc_1', 1), write('dc_2', 2), write('dc_1', 3), write('dc_1', 4)];
      const kept = await store.commit({ writes });
      if (!kept.ok) throw new Error('nothing was kept');
      const [first = 0, other = 0, second = 0, third = 0] = kept.numbers;
      const whole = await store.load('dc_1');
      expect(whole?.updates.map((u) => u.n)).toEqual([first, second, third]);
      const found = await store.read(
        new Map([
          ['dc_1', [third, first]],
          ['dc_2', [other, other + 1000]],
          ['dc_3', [first]],
        ]),
      );
      expect([...found.keys()].toSorted()).toEqual(['dc_1', 'dc_2']);
      expect(found.get('dc_1')).toEqual([whole?.updates[0], whole?.updates[2]]);
      expect(found.get('dc_2')?.map((u) => [...u.bytes])).toEqual([[2]]);
    });

    test('SY-13: reads more than fits into one question', async () => {
      const store = await withDocument();
      const writes = Array.from({ length: 901 }, (_, i) => write('dc_1', i % 256));
      const kept = await store.commit({ writes });
      if (!kept.ok) throw new Error('nothing was kept');
      const found = await store.read(new Map([['dc_1', kept.numbers]]));
      expect(found.get('dc_1')?.map((u) => u.n)).toEqual(kept.numbers);
    });

    test('refuses writes to a frozen or unknown document and keeps the others of the batch', async () => {
      const store = await withDocument();
      await store.commit({ documents: [{ id: 'dc_2', log: 'ev_1', kind: 'board' }] });
      await store.commit({ freeze: [{ document: 'dc_1', updates: null }] });
      const outcome = await store.commit({
        writes: [write('dc_1', 1), write('dc_2', 2), write('dc_3', 3)],
      });
      const [kept] = (await store.load('dc_2'))?.updates ?? [];
      const numbers = [kept?.n];
      expect(outcome).toEqual({ ok: true, writes: ['frozen', 'kept', 'frozen'], numbers });
      expect((await store.load('dc_1'))?.updates).toEqual([]);
      expect((await store.load('dc_2'))?.updates).toHaveLength(1);
    });

    test('freezes before it writes, within one batch', async () => {
      const store = await withDocument();
      const outcome = await store.commit({
        writes: [write('dc_1', 1)],
        freeze: [{ document: 'dc_1', updates: 0 }],
      });
      expect(outcome).toEqual({ ok: true, writes: ['frozen'], numbers: [] });
    });

    test('SE-9: does not freeze a document that grew since it was read', async () => {
      const store = await withDocument();
      await store.commit({ writes: [write('dc_1', 1)] });
      const stale = await store.commit({
        freeze: [{ document: 'dc_1', updates: 0 }],
        appends: [{ log: 'ev_1', from: 0, texts: ['opened'] }],
      });
      expect(stale).toEqual({ ok: false, conflict: 'document' });
      expect(await store.events('ev_1')).toEqual([]);
      expect(await store.commit({ writes: [write('dc_1', 2)] })).toMatchObject({
        writes: ['kept'],
      });
      expect(await store.commit({ freeze: [{ document: 'dc_1', updates: 2 }] })).toMatchObject({
        ok: true,
      });
      expect(await store.commit({ writes: [write('dc_1', 3)] })).toMatchObject({
        writes: ['frozen'],
      });
    });
  });

  describe('people, sessions, invitations', () => {
    test('gives the people of a panel, and what they are called now', async () => {
      const store = await make();
      const person = { seat: 'st_1', panel: 'pn_1', name: 'Ada', salt: 's', lead: false };
      await store.commit({ people: [person, { ...person, seat: 'st_2', panel: 'pn_2' }] });
      await store.commit({ people: [{ ...person, name: 'Ada B', lead: true }] });
      expect(await store.people('pn_1')).toEqual([{ ...person, name: 'Ada B', lead: true }]);
    });

    test('AC-1: a session that ended does not come back by being used', async () => {
      const store = await make();
      await store.commit({ sessions: [session('s1', '2026-03-02T09:00:00.000Z')] });
      await store.commit({ seen: [{ session: 's1', at: '2026-03-02T09:30:00.000Z' }] });
      expect((await store.session('s1'))?.seenAt).toBe('2026-03-02T09:30:00.000Z');
      expect(await store.sessionsOf('st_1')).toHaveLength(1);
      await store.commit({ endSessions: ['s1'] });
      await store.commit({ seen: [{ session: 's1', at: '2026-03-02T09:40:00.000Z' }] });
      expect(await store.session('s1')).toBeUndefined();
      expect(await store.sessionsOf('st_1')).toEqual([]);
    });

    test('finds an invitation by secret or code, and uses it up once', async () => {
      const store = await make();
      await store.commit({ invitations: [invitation('in_1'), invitation('in_2', { code: null })] });
      expect(await store.invitation({ secret: 'secret of in_1' })).toEqual(invitation('in_1'));
      expect(await store.invitation({ code: 'code of in_1' })).toEqual(invitation('in_1'));
      expect(await store.invitation({ code: 'code of in_2' })).toBeUndefined();
      expect(await store.commit({ endInvitations: ['in_1'] })).toMatchObject({ ok: true });
      expect(await store.commit({ endInvitations: ['in_1'] })).toEqual({
        ok: false,
        conflict: 'invitation',
      });
      expect(await store.invitation({ code: 'code of in_1' })).toBeUndefined();
    });

    test('forgets what is over by the clock and nothing else', async () => {
      const store = await make();
      const at = (hour: number): string => `2026-03-02T${String(hour).padStart(2, '0')}:00:00.000Z`;
      await store.commit({
        sessions: [
          session('old', at(1)),
          session('fresh', at(9)),
          { ...session('idle', at(8)), seenAt: at(2) },
        ],
        invitations: [invitation('in_1'), invitation('in_2', { expiresAt: at(20) })],
      });
      await store.commit({
        forget: { startedBefore: at(7), seenBefore: at(8), expiredBefore: at(15) },
      });
      expect(await store.session('old')).toBeUndefined();
      expect(await store.session('idle')).toBeUndefined();
      expect(await store.session('fresh')).toBeDefined();
      expect(await store.invitation({ code: 'code of in_1' })).toBeUndefined();
      expect(await store.invitation({ code: 'code of in_2' })).toBeDefined();
    });

    test('keeps one passphrase, and tells the lead’s sessions from those of seats', async () => {
      const store = await make();
      expect(await store.passphrase()).toBeNull();
      const at = '2026-03-02T09:00:00.000Z';
      const lead = { ...session('lead', at), seat: null, panel: null };
      await store.commit({ sessions: [lead, session('seat', at)], passphrase: 'first' });
      await store.commit({ passphrase: 'second' });
      await store.commit({ sessions: [session('other', at)] });
      expect(await store.passphrase()).toBe('second');
      expect(await store.leadSessions()).toEqual([lead]);
    });

    test('a published protocol version never changes', async () => {
      const store = await make();
      const version = { id: 'p', version: '1.0.0', hash: 'h', text: 'first' };
      await store.commit({ protocols: [version] });
      await store.commit({ protocols: [{ ...version, hash: 'other', text: 'second' }] });
      expect(await store.protocols()).toEqual([version]);
    });
  });
});
