import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { openCheckpoint } from '../../../server/src/audit/checkpoint.ts';
import { leafHash, merkleRoot } from '../../../server/src/audit/merkle.ts';
import { coverLogs } from '../../../server/src/flows/change.ts';
import { runEvaluationCommand } from '../../../server/src/flows/run-evaluation-command.ts';
import { accepted, CLIENT_AT, commandId, seatedPanel } from '../../support/seated-panel.ts';
import { testApp, vkey } from '../../support/test-app.ts';

interface Event {
  seq: number;
  at: string;
  clientAt: string | null;
  actor: string;
  role: string;
  device: string | null;
  cmd: string | null;
  type: string;
}
const eventsOf = async (store: MemoryStore, log: string): Promise<Event[]> =>
  (await store.events(log)).map((text) => JSON.parse(text) as Event);

test('AU-2: events carry their number, both clocks, who, from which device, and by which command', async () => {
  const store = new MemoryStore();
  const { app, clock } = testApp(store);
  const p = await seatedPanel(app, 1);
  clock.advance(1234);
  const id = commandId();
  accepted(await p.act(p.moderator, { type: 'start-round' }, id));
  const events = await eventsOf(store, p.evaluation);
  expect(events.map((e) => e.seq)).toEqual(events.map((_, i) => i));
  expect(events.at(-1)).toMatchObject({
    at: new Date(clock.now()).toISOString(),
    clientAt: CLIENT_AT,
    actor: p.moderator.seat,
    role: 'moderator',
    device: p.moderator.device,
    cmd: id,
    type: 'round-started',
  });
});

test('AU-2: an event is never stamped before the one it follows, whatever the clock does', async () => {
  const store = new MemoryStore();
  const { app, clock } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  clock.advance(-3_600_000);
  accepted(await p.act(p.reviewers[0]!, { type: 'finish-sheet' }));
  const [before, last] = (await eventsOf(store, p.evaluation)).slice(-2);
  expect(last?.at).toBe(before?.at);
});

test('AU-3: milestones are signed in the commit that makes them; the rest within a minute', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await p.rate(p.reviewers[0]!, { 'chest-access': 2 });
  const newest = async (): Promise<number> => {
    const note = (await store.checkpoints(p.evaluation)).at(-1) ?? '';
    const opened = openCheckpoint(note, vkey);
    if (!opened.ok) throw new Error(opened.why);
    const { size, root, origin } = opened.checkpoint;
    const texts = (await store.events(p.evaluation)).slice(0, size);
    expect(Buffer.from(root)).toEqual(Buffer.from(merkleRoot(texts.map(leafHash))));
    expect(origin).toBe(`test.local/${p.evaluation}`);
    return size;
  };
  const size = async (): Promise<number> => (await store.events(p.evaluation)).length;
  accepted(await p.act(p.reviewers[0]!, { type: 'finish-sheet' }));
  expect(await newest()).toBeLessThan(await size());
  expect(await coverLogs(app)).toBeGreaterThan(0);
  expect(await newest()).toBe(await size());
  expect(await coverLogs(app)).toBe(0);
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  expect(await newest()).toBe(await size());
  const settle = { type: 'settle-task', task: 'chest-access', how: 'adopt' } as const;
  accepted(await p.act(p.moderator, { ...settle, value: null, reason: null }));
  expect(await newest()).toBe(await size());
});

test('two processes on one store: each decides on what the other wrote, and no number is used twice', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 4);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const { app: other } = testApp(store);
  const finish = (on: typeof app, who: (typeof p.reviewers)[number], resume = false) =>
    runEvaluationCommand(on, who, {
      id: commandId(),
      clientAt: CLIENT_AT,
      on: 'evaluation',
      evaluation: p.evaluation,
      command: { type: resume ? 'resume-sheet' : 'finish-sheet' },
    });
  const answers = await Promise.all(
    p.reviewers.flatMap((who, i) => [
      finish(i % 2 === 0 ? app : other, who),
      finish(i % 2 === 0 ? other : app, who, true),
      finish(i % 2 === 0 ? app : other, who),
    ]),
  );
  answers.forEach(accepted);
  const events = await eventsOf(store, p.evaluation);
  expect(events.map((e) => e.seq)).toEqual(events.map((_, i) => i));
  const states = await Promise.all(
    [app, other].map(async (a) => {
      const live = await a.logs.evaluation(p.evaluation);
      if (live) await a.logs.refresh(live);
      return live;
    }),
  );
  expect(states[0]?.size).toBe(states[1]?.size);
  expect(states[0]?.root).toEqual(states[1]?.root);
  expect(states[0]?.state).toEqual(states[1]?.state);
});

test('a store that cannot be trusted is read and not written', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  const before = await store.logs();
  app.readOnly = 'The store does not match its signatures.';
  expect(await p.act(p.moderator, { type: 'start-round' })).toMatchObject({
    ok: false,
    rejection: { code: 'read-only', message: 'The store does not match its signatures.' },
  });
  expect(await coverLogs(app)).toBe(0);
  expect(await store.logs()).toEqual(before);
});

test('a commit that fails changes nothing in memory, and the same command goes through later', async () => {
  class Failing extends MemoryStore {
    failing = false;
    override commit(batch: Parameters<MemoryStore['commit']>[0]) {
      return this.failing ? Promise.reject(new Error('disk full')) : super.commit(batch);
    }
  }
  const store = new Failing();
  const { app, changed } = testApp(store);
  const p = await seatedPanel(app, 1);
  const id = commandId();
  const told = changed.length;
  store.failing = true;
  await expect(p.act(p.moderator, { type: 'start-round' }, id)).rejects.toThrow('disk full');
  expect((await p.live()).state.stage).toBe('preparing');
  expect(changed).toHaveLength(told);
  store.failing = false;
  accepted(await p.act(p.moderator, { type: 'start-round' }, id));
  expect((await p.live()).state.stage).toBe('sealed');
});

test('AU-3: what a killed process had not signed yet is signed by the next one at its start', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const { app: next } = testApp(store);
  await next.logs.wakeUncovered();
  expect(await coverLogs(next)).toBe(2);
  const note = (await store.checkpoints(p.evaluation)).at(-1) ?? '';
  const size = (await store.events(p.evaluation)).length;
  expect(openCheckpoint(note, vkey)).toMatchObject({ ok: true, checkpoint: { size } });
});
