import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { coverLogs } from '../../../server/src/flows/change.ts';
import { checkStore } from '../../../server/src/flows/check-store.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp, vkey } from '../../support/test-app.ts';

type Row = { seq: number; text: string };

/** A store whose rows and checkpoints are shown changed. */
class Tampered extends MemoryStore {
  change: (rows: Row[], log: string) => Row[] = (rows) => rows;
  changeNotes: (notes: string[], log: string) => string[] = (notes) => notes;
  override async rows(log: string): Promise<Row[]> {
    return this.change(await super.rows(log), log);
  }
  override async checkpoints(log: string): Promise<string[]> {
    return this.changeNotes(await super.checkpoints(log), log);
  }
}

const withRound = async () => {
  const store = new Tampered();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { 'chest-access': 3 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  await coverLogs(app);
  expect(await checkStore(store, vkey)).toEqual([]);
  const size = (await store.events(p.evaluation)).length;
  const only = (change: (rows: Row[]) => Row[]): void => {
    store.change = (rows, log) => (log === p.evaluation ? change(rows) : rows);
  };
  return { store, p, size, only };
};

test('AU-4: one changed character anywhere in any event is found, and its log is named', async () => {
  const { store, p, size, only } = await withRound();
  for (let seq = 0; seq < size; seq++) {
    only((rows) =>
      rows.map((r) => (r.seq === seq ? { ...r, text: r.text.replace('"v":1', '"v":2') } : r)),
    );
    const [fault] = await checkStore(store, vkey);
    expect(fault, `event ${String(seq)}`).toMatchObject({ log: p.evaluation });
    expect(fault?.seq, `event ${String(seq)}`).toBeLessThanOrEqual(seq);
  }
});

test.each<[string, (rows: Row[]) => Row[]]>([
  ['an event is gone', (rows) => rows.filter((r) => r.seq !== 2)],
  [
    'an event is gone and the rest moved up',
    (rows) => rows.filter((r) => r.seq !== 2).map((r, seq) => ({ ...r, seq })),
  ],
  ['the last event is gone', (rows) => rows.slice(0, -1)],
  ['everything is gone', () => []],
  [
    'two events changed places',
    (rows) =>
      [...rows.slice(0, 1), rows[2]!, rows[1]!, ...rows.slice(3)].map((r, seq) => ({ ...r, seq })),
  ],
  [
    'only the number of a row was changed',
    (rows) => rows.map((r) => (r.seq === rows.length - 1 ? { ...r, seq: r.seq + 5 } : r)),
  ],
  [
    'an event is there twice',
    (rows) => [...rows.slice(0, 2), rows[1]!, ...rows.slice(2)].map((r, seq) => ({ ...r, seq })),
  ],
  ['an event is no JSON', (rows) => rows.map((r) => (r.seq === 1 ? { ...r, text: '{' } : r))],
])('AU-4: %s', async (_what, change) => {
  const { store, p, only } = await withRound();
  only(change);
  const faults = await checkStore(store, vkey);
  expect(faults).toHaveLength(1);
  expect(faults[0]?.log).toBe(p.evaluation);
});

test('AU-4: a checkpoint of another key or another text does not hold', async () => {
  const { store, p } = await withRound();
  store.changeNotes = (notes, log) =>
    log === p.evaluation ? notes.map((n) => n.replace(/\n(\d+)\n/u, '\n$10\n')) : notes;
  const faults = await checkStore(store, vkey);
  expect(faults[0]?.what).toContain('a checkpoint does not hold');
});

test('AU-4: a log whose checkpoints are gone is not believed', async () => {
  const { store, p } = await withRound();
  store.changeNotes = (notes, log) => (log === p.evaluation ? [] : notes);
  expect(await checkStore(store, vkey)).toMatchObject([
    { log: p.evaluation, seq: 0, what: 'its checkpoints are missing' },
  ]);
});
