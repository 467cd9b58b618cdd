import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { sheetBox } from '../../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../../server/src/adapters/sqlite-store.ts';
import { checkStore } from '../../../server/src/flows/check-store.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { runEvaluationCommand } from '../../../server/src/flows/run-evaluation-command.ts';
import type { Store } from '../../../server/src/ports/store.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { cutStore, Gone } from '../../support/cut-store.ts';
import { accepted, CLIENT_AT, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';
import { testApp, vkey } from '../../support/test-app.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';
const LOCK = 'cm_LOCKLOCKLOCKLOCKLOCKLO';
const MEANING = 'I stand by this record.';

/** Called after each step, with the panel once it is there. */
type Step = (p: SeatedPanel) => void;

/** A whole evaluation, from the first seat to the lock. */
const play = async (store: Store, step: Step): Promise<void> => {
  const { app } = testApp(store);
  const p = await seatedPanel(app, 3);
  const act: SeatedPanel['act'] = async (who, command, id) => {
    step(p);
    const answer = await p.act(who, command, id);
    accepted(answer);
    return answer;
  };
  await act(p.moderator, { type: 'start-round' });
  for (const [i, who] of p.reviewers.entries()) {
    await p.rate(who, { 'fit-retention': i, 'wear-comfort': 1, 'airway-open': 2 + i });
    await act(who, { type: 'finish-sheet' });
  }
  await act(p.moderator, { type: 'open-round', withMissing: true });
  for (const task of ['fit-retention', 'wear-comfort', 'airway-open']) {
    const how = { how: 'adopt', value: null, reason: REASON } as const;
    await act(p.moderator, { type: 'settle-task', task, ...how });
  }
  await act(p.moderator, { type: 'lock', meaning: MEANING }, LOCK);
  step(p);
};

const typesIn = async (store: Store): Promise<Map<string, string[]>> => {
  const types = new Map<string, string[]>();
  for (const { log } of await store.logs()) {
    const texts = await store.events(log);
    types.set(
      log,
      texts.map((t) => (JSON.parse(t) as { type: string }).type),
    );
  }
  return types;
};

/** Every state that the store was in after one of its commits, as text. */
const statesOf = async (): Promise<{ states: string[]; commits: number }> => {
  const store = new MemoryStore();
  const states: string[] = [JSON.stringify([])];
  const watched: Store = new Proxy(store, {
    get: (target, name) => {
      if (name !== 'commit') {
        const value: unknown = Reflect.get(target, name, target);
        return typeof value === 'function' ? (value.bind(target) as unknown) : value;
      }
      return async (...args: Parameters<Store['commit']>) => {
        const committed = await target.commit(...args);
        states.push(JSON.stringify([...(await typesIn(target))]));
        return committed;
      };
    },
  });
  await play(watched, () => undefined);
  return { states, commits: states.length - 1 };
};

/** Runs until the process dies; returns the panel as far as it was there. */
const playUntilCut = async (
  store: Store,
  at: number,
  when: 'before' | 'after',
): Promise<SeatedPanel | undefined> => {
  let seated: SeatedPanel | undefined;
  const cut = cutStore(store, at, when);
  await expect(
    play(cut.store, (p) => {
      seated = p;
    }),
  ).rejects.toBeInstanceOf(Gone);
  return seated;
};

/** What a restart finds: whole logs, a state that was there, and a lock that goes through once, however often sent. */
const afterRestart = async (store: Store, p: SeatedPanel | undefined): Promise<boolean> => {
  expect(await checkStore(store, vkey)).toEqual([]);
  const { app } = testApp(store);
  for (const { log } of await store.logs())
    expect((await app.logs.any(log)).size).toBeGreaterThan(0);
  const live = p && (await app.logs.evaluation(p.evaluation));
  const settled = live?.state.settled.size ?? 0;
  if (!live || !p || settled < 3) return false;
  const command = { type: 'lock', meaning: MEANING } as const;
  const message = { id: LOCK, clientAt: CLIENT_AT, on: 'evaluation' as const };
  for (let i = 0; i < 2; i++) {
    accepted(
      await runEvaluationCommand(app, p.moderator, {
        ...message,
        evaluation: p.evaluation,
        command,
      }),
    );
  }
  const texts = await store.events(p.evaluation);
  expect(texts.filter((t) => t.includes('"evaluation-locked"'))).toHaveLength(1);
  const bundle = await exportBundle(app, live);
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  expect(verifyBundle(bundle.value, { key: vkey }).findings).toEqual([]);
  return true;
};

test(
  'AU-3: killed before or after any commit of an evaluation, the store is in a state that was there',
  { timeout: 300_000 },
  async () => {
    const { states, commits } = await statesOf();
    let locked = 0;
    for (let at = 1; at <= commits; at++) {
      for (const when of ['before', 'after'] as const) {
        const store = new MemoryStore();
        const p = await playUntilCut(store, at, when);
        const found = JSON.stringify([...(await typesIn(store))]);
        expect(found, `${when} commit ${String(at)}`).toBe(states[when === 'before' ? at - 1 : at]);
        if (await afterRestart(store, p)) locked++;
      }
    }
    process.stderr.write(
      `cuts: ${String(commits * 2)} at ${String(commits)} commits, ${String(locked)} locked once after the restart\n`,
    );
    // After the last settlement, before the lock, and after it.
    expect(locked).toBeGreaterThanOrEqual(3);
  },
);

test.each(['before', 'after'] as const)(
  'AU-3: on a disk, killed %s the commit of the lock, the lock is there once after it is sent again',
  async (when) => {
    const { commits } = await statesOf();
    const file = join(temporaryDirectory(), 'store.sqlite');
    const box = sheetBox(new Uint8Array(32).fill(5));
    const first = new SqliteStore(file, 'ws_local', box);
    const p = await playUntilCut(first, commits, when);
    await first.close();
    const again = new SqliteStore(file, 'ws_local', box);
    onTestFinished(() => again.close());
    const texts = await again.events(p?.evaluation ?? '');
    expect(texts.at(-1)?.includes('"evaluation-locked"')).toBe(when === 'after');
    expect(await afterRestart(again, p)).toBe(true);
  },
);
