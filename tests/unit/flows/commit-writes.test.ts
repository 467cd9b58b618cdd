import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { commitWrites } from '../../../server/src/flows/commit-writes.ts';
import type { DocumentWrite } from '../../../server/src/ports/document-store.ts';
import { accepted, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const TASK = 'chest-access';
let entries = 0;

const setUp = async () => {
  const store = new MemoryStore();
  const { app, changed } = testApp(store);
  const p = await seatedPanel(app, 2);
  const live = await p.live();
  const board = live.state.created?.board ?? '';
  const homes = new Map([[board, live]]);
  const commit = (...writes: DocumentWrite[]) => commitWrites(app, homes, writes);
  return { store, app, p, live, board, commit, changed };
};

const remark = (
  p: SeatedPanel,
  board: string,
  text: string,
  task: string | null = null,
): DocumentWrite => {
  const seat = p.reviewers[0]?.seat ?? '';
  const key = `${seat}/${String(++entries).padStart(22, '0')}`;
  const at = '2026-03-02T08:00:00.000Z';
  const value = JSON.stringify({ kind: 'remark', task, text, at, replaces: null });
  const entry = { key, value };
  const bytes = Uint8Array.of(1);
  return { document: board, seat, device: 'dv_x', bytes, newClients: [], entries: [entry] };
};

test('BO-1: an entry on the board is an event of its author in the same commit', async () => {
  const { store, p, live, board, commit, changed } = await setUp();
  expect(await commit(remark(p, board, 'The pin is stiff.'))).toEqual(['kept']);
  const event = JSON.parse((await store.events(p.evaluation)).at(-1) ?? '') as object;
  expect(event).toMatchObject({
    type: 'entry-posted',
    actor: p.reviewers[0]?.seat,
    role: 'reviewer',
    device: 'dv_x',
    clientAt: '2026-03-02T08:00:00.000Z',
    data: { entry: { text: 'The pin is stiff.' } },
  });
  expect(live.state.remarks.map((r) => r.text)).toEqual(['The pin is stiff.']);
  expect(live.size).toBe((await store.events(p.evaluation)).length);
  expect(changed.at(-1)).toBe(p.evaluation);
});

test('SE-4: while a round is sealed no entry on its tasks is kept; others of the batch are', async () => {
  const { p, live, board, commit } = await setUp();
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const outcomes = await commit(
    remark(p, board, 'Lunch at noon.'),
    remark(p, board, 'It blocks the chest.', TASK),
    remark(p, board, 'Back at one.'),
  );
  expect(outcomes).toEqual(['kept', 'frozen', 'kept']);
  expect(live.state.remarks.map((r) => r.text)).toEqual(['Lunch at noon.', 'Back at one.']);
});

test('BO-2: after the lock or a withdrawal the board takes nothing', async () => {
  const { store, p, board, commit } = await setUp();
  const reason = 'The piece was swapped during the session.';
  accepted(await p.act(p.moderator, { type: 'withdraw', reason }));
  const size = (await store.events(p.evaluation)).length;
  expect(await commit(remark(p, board, 'Too late.'))).toEqual(['frozen']);
  const { seat, device, bytes, newClients } = remark(p, board, '');
  const note: DocumentWrite = { document: board, seat, device, bytes, newClients, entries: [] };
  expect(await commit(note)).toEqual(['frozen']);
  expect(await store.events(p.evaluation)).toHaveLength(size);
});

test('an entry and a command that race for a number both get one', async () => {
  const { store, p, board, commit } = await setUp();
  const [outcomes, answer] = await Promise.all([
    commit(remark(p, board, 'One.'), remark(p, board, 'Two.')),
    p.act(p.moderator, { type: 'start-round' }),
    commit(remark(p, board, 'Three.')),
  ]);
  accepted(answer);
  expect(outcomes).toEqual(['kept', 'kept']);
  const events = (await store.events(p.evaluation)).map((t) => JSON.parse(t) as { seq: number });
  expect(events.map((e) => e.seq)).toEqual(events.map((_, i) => i));
});

test('a store that is read-only keeps no write', async () => {
  const { app, p, board, commit } = await setUp();
  app.readOnly = 'Not trusted.';
  await expect(commit(remark(p, board, 'x'))).rejects.toThrow('Not trusted.');
});
