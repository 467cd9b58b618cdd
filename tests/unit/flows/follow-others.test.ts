import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import {
  followAll,
  followOthers,
  followSizes,
  sizesOf,
} from '../../../server/src/flows/follow-others.ts';
import { Logs } from '../../../server/src/flows/logs.ts';
import { UnderWay } from '../../../server/src/flows/under-way.ts';
import type { Bus, Notice } from '../../../server/src/ports/bus.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp, vkey } from '../../support/test-app.ts';

test('LG-1: who comes in finds a log as the store has it, also what another process added', async () => {
  const store = new MemoryStore();
  const here = testApp(store);
  const p = await seatedPanel(here.app, 1);
  const there = new Logs(store, vkey, new Set(), true);
  const before = await there.evaluation(p.evaluation);
  expect(before?.state.stage).toBe('preparing');
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  expect((await there.evaluation(p.evaluation))?.state.stage).toBe('preparing');
  const now = await there.evaluationNow(p.evaluation);
  const own = await here.app.logs.evaluation(p.evaluation);
  expect(now?.state.stage).toBe('sealed');
  expect(now?.size).toBe(own?.size);
  expect(now?.note).toBe(own?.note);
});

type Hear = (notice: Notice, from: string) => void;

/** Buses joined in memory: what one tells, the others hear at once, by workspace. */
const joined = () => {
  const hears: { at: string; workspace: string; hear: Hear }[] = [];
  return (at: string): Bus => ({
    tell: (workspace, notice) => {
      for (const h of hears) if (h.at !== at && h.workspace === workspace) h.hear(notice, at);
    },
    onNotice: (workspace, hear) => void hears.push({ at, workspace, hear }),
    onGap: () => undefined,
    connected: () => true,
    close: () => Promise.resolve(),
  });
};

/** Two processes on one store, and what the second one was asked to make again and to show. */
const twoProcesses = () => {
  const store = new MemoryStore();
  const [here, there] = [testApp(store), testApp(store)];
  const bus = joined();
  const work = new UnderWay({ info: () => undefined, error: () => undefined });
  const shown: string[] = [];
  const outdated = { catalogue: [] as string[], links: [] as string[] };
  there.app.shared = true;
  there.app.catalogue.changed = (log) => void outdated.catalogue.push(log);
  there.app.links.changed = (log) => void outdated.links.push(log);
  const followers = {
    changed: (log: string) => void shown.push(log),
    ended: () => undefined,
    online: () => undefined,
  };
  const none = { ...followers, changed: () => undefined };
  followOthers(here.app, 'ws_1', bus('here'), none, work);
  followOthers(there.app, 'ws_1', bus('there'), followers, work);
  return { here, there, shown, outdated, followers };
};

test('BU-2: what another process changed is read and shown where it is in memory, and outdates catalogue and links everywhere', async () => {
  const { here, there, shown, outdated } = twoProcesses();
  const p = await seatedPanel(here.app, 1);
  await expect.poll(() => outdated.catalogue).toContain(p.evaluation);
  await expect.poll(() => outdated.links).toContain(p.panel);
  expect(shown).toEqual([]);
  await there.app.logs.evaluation(p.evaluation);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await expect.poll(() => shown).toContain(p.evaluation);
  expect((await there.app.logs.evaluation(p.evaluation))?.state.stage).toBe('sealed');
});

test('BU-1: without notices a look at the store finds every log that grew, once', async () => {
  const { here, there, outdated, shown, followers } = twoProcesses();
  const p = await seatedPanel(here.app, 1);
  await there.app.logs.evaluation(p.evaluation);
  const sizes = await sizesOf(there.app);
  // Nothing is carried any more.
  here.app.changed = () => undefined;
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  outdated.catalogue.length = 0;
  shown.length = 0;
  await followSizes(there.app, sizes);
  expect(outdated.catalogue).toContain(p.evaluation);
  await followAll(there.app, followers);
  expect(shown).toContain(p.evaluation);
  outdated.catalogue.length = 0;
  await followSizes(there.app, sizes);
  expect(outdated.catalogue).toEqual([]);
});
