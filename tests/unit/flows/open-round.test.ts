import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { canonicalText } from '../../../server/src/audit/canonical-json.ts';
import { sha256Hex } from '../../../server/src/audit/sha256.ts';
import type { Batch, Committed } from '../../../server/src/ports/store.ts';
import type { StoredDocument } from '../../../server/src/ports/document-store.ts';
import { accepted, seatedPanel, sheetUpdate } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const TASK = 'chest-access';
const OTHER = 'aed-pads';

const eventsOf = async (store: MemoryStore, log: string) =>
  (await store.events(log)).map(
    (text) => JSON.parse(text) as { type: string; seq: number; data: Record<string, unknown> },
  );

test('SE-2: ratings stand nowhere in the log before the opening, and all of them in one commit with it', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  for (const [i, who] of p.reviewers.entries()) {
    await p.rate(who, { [TASK]: i, [OTHER]: 'not-observed' });
    accepted(await p.act(who, { type: 'finish-sheet' }));
  }
  expect((await p.live()).state.ratings.size).toBe(0);
  const before = (await store.events(p.evaluation)).length;
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const added = (await eventsOf(store, p.evaluation)).slice(before);
  expect(added.map((e) => e.type)).toEqual([
    'sheet-recorded',
    'sheet-recorded',
    'sheet-recorded',
    'round-opened',
  ]);
  const steps = [...((await p.live()).state.ratings.get(TASK) ?? [])].map(([, r]) => r.rating.step);
  expect(steps).toEqual([0, 1, 2]);
});

test('AU-6: the digest of a sheet is SHA-256 over its canonical JSON with a nonce', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { [TASK]: 3 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const recorded = (await eventsOf(store, p.evaluation)).find((e) => e.type === 'sheet-recorded');
  const { round, seat, ratings, nonce, digest } = recorded?.data ?? {};
  expect(digest).toBe(
    sha256Hex(canonicalText({ evaluation: p.evaluation, nonce, ratings, round, seat })),
  );
});

test('sheets are closed for good by the opening, and can be written when it is refused', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const [ada, ben] = p.reviewers;
  const document = await p.rate(ada!, { [TASK]: 1 });
  const write = {
    document,
    seat: ada!.seat,
    device: ada!.device,
    at: '2026-03-02T09:00:00.000Z',
    newClients: [],
  };
  const refused = await p.act(p.moderator, { type: 'open-round', withMissing: false });
  expect(refused).toMatchObject({ ok: false, rejection: { code: 'ratings-missing' } });
  const kept = await store.commit({ writes: [{ ...write, bytes: sheetUpdate({ [TASK]: 2 }, 9) }] });
  expect(kept).toMatchObject({ ok: true, writes: ['kept'] });
  await p.rate(ben!, { [TASK]: 4 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const late = await store.commit({
    writes: [{ ...write, bytes: sheetUpdate({ [TASK]: 5 }, 10) }],
  });
  expect(late).toMatchObject({ ok: true, writes: ['frozen'] });
});

test('SE-9: a rating kept while the round is being opened is in the record, not lost', async () => {
  /** Another process keeps one more update just before the opening is committed. */
  class Racing extends MemoryStore {
    slip: (() => Promise<unknown>) | undefined;
    openings = 0;
    override async commit(batch: Batch): Promise<Committed> {
      if ((batch.freeze ?? []).length > 0) {
        this.openings++;
        const slip = this.slip;
        this.slip = undefined;
        await slip?.();
      }
      return super.commit(batch);
    }
  }
  const store = new Racing();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { [TASK]: 1 });
  store.slip = () => p.rate(p.reviewers[0]!, { [OTHER]: 4 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  expect(store.openings).toBe(2);
  const { state } = await p.live();
  expect(state.ratings.get(TASK)?.size).toBe(1);
  expect(state.ratings.get(OTHER)?.get(p.reviewers[0]!.seat)?.rating.step).toBe(4);
});

test('SE-10: a reviewer who asks for the opening is refused before any sheet is read', async () => {
  class Watching extends MemoryStore {
    reads = 0;
    override async load(document: string): Promise<StoredDocument | undefined> {
      this.reads++;
      return super.load(document);
    }
  }
  const store = new Watching();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[1]!, { [TASK]: 1 });
  const refused = await p.act(p.reviewers[0]!, { type: 'open-round', withMissing: true });
  expect(refused).toMatchObject({ ok: false, rejection: { code: 'role-may-not' } });
  expect(store.reads).toBe(0);
});

test('a rating that replaced another before the opening is marked as changed', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const [ada] = p.reviewers;
  const document = await p.rate(ada!, { [TASK]: 1, [OTHER]: 2 });
  // The second edit by another client id stands after the first only by Yjs's own order.
  const stored = await app.store.load(document);
  const Y = await import('yjs');
  const doc = new Y.Doc();
  for (const u of stored?.updates ?? []) Y.applyUpdate(doc, u.bytes);
  const before = Y.encodeStateVector(doc);
  doc.getMap('r').set(`${TASK}/answer`, 5);
  const bytes = Y.encodeStateAsUpdate(doc, before);
  const { seat, device } = ada!;
  const at = '2026-03-02T09:00:00.000Z';
  await app.store.commit({ writes: [{ document, seat, device, at, bytes, newClients: [] }] });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const { ratings } = (await p.live()).state;
  expect(ratings.get(TASK)?.get(seat)).toMatchObject({ changed: true, rating: { step: 5 } });
  expect(ratings.get(OTHER)?.get(seat)).toMatchObject({ changed: false, rating: { step: 2 } });
});

test('a reviewer who comes after the opening hands in alone, and sees the round only then', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { [TASK]: 1 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const late = await p.sit('reviewer', 'Late');
  await p.declare(late);
  const document = await p.rate(late, { [TASK]: 5 });
  accepted(await p.act(late, { type: 'finish-sheet' }));
  const { state } = await p.live();
  expect(state.ratings.get(TASK)?.get(late.seat)?.rating.step).toBe(5);
  const write = { document, seat: late.seat, device: late.device, newClients: [] };
  const after = { ...write, at: '2026-03-02T09:00:00.000Z', bytes: sheetUpdate({ [TASK]: 0 }, 5) };
  expect(await app.store.commit({ writes: [after] })).toMatchObject({ writes: ['frozen'] });
});
