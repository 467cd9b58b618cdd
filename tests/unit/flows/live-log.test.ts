import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { evaluationLog, LiveLog } from '../../../server/src/flows/live-log.ts';
import { wideProtocol } from '../../support/evaluation-workload.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const TASKS = 200;

/** The log of an opened evaluation with four full sheets, as it stands in the store: some turns long. */
const openedLog = async (): Promise<{ log: string; texts: string[] }> => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const wide = { protocol: wideProtocol(TASKS), text: '', hash: '0'.repeat(64) };
  app.protocols = new Map([['emergency-access 1.0.0', wide]]);
  const p = await seatedPanel(app, 4);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const tasks = Array.from({ length: TASKS }, (_, i) => `t${String(i)}`);
  for (const [i, who] of p.reviewers.entries()) {
    await p.rate(who, Object.fromEntries(tasks.map((task) => [task, i])));
  }
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  return { log: p.evaluation, texts: await store.events(p.evaluation) };
};

test('LG-2: events taken in turns leave the log as it was until the last, then show all at once', async () => {
  const { log, texts } = await openedLog();
  const whole = new LiveLog(log, evaluationLog);
  whole.take(texts, 0);
  const live = new LiveLog(log, evaluationLog);
  const sizes: number[] = [];
  let over = false;
  const look = (): void => {
    if (over) return;
    sizes.push(live.size);
    setImmediate(look);
  };
  setImmediate(look);
  await live.takeInTurns(texts, 0);
  over = true;
  expect(sizes.length).toBeGreaterThan(0);
  expect(new Set(sizes)).toEqual(new Set([0]));
  expect(live.size).toBe(texts.length);
  expect(live.state).toEqual(whole.state);
  expect(live.root).toEqual(whole.root);
  expect(live.lastAt).toBe(whole.lastAt);
});

test('LG-2: what somebody else took meanwhile is not taken twice', async () => {
  const { log, texts } = await openedLog();
  const live = new LiveLog(log, evaluationLog);
  const first = live.takeInTurns(texts, 0);
  live.take(texts.slice(0, 3), 0);
  await first;
  expect(live.size).toBe(texts.length);
  await live.takeInTurns(texts, 0);
  expect(live.size).toBe(texts.length);
});
