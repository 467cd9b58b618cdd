import { existsSync, mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import { checkStore } from '../../server/src/flows/check-store.ts';
import type { Batch, Committed, Store } from '../../server/src/ports/store.ts';
import { diskPlan } from './disk-plan.ts';
import { lockedBundle } from './locked-bundle.ts';
import { vkey } from './test-app.ts';

/**
 * A process under disk-fault.c that plays one panel while a copy of the store is left before every write and sync:
 * what a process killed at that point leaves. Opens every STEPth copy and says, as one line of JSON, what is wrong.
 */
const [step = '1', base = ''] = process.argv.slice(2);
const plan = diskPlan(process.env['FAULT_PLAN'] ?? '');
const copies = process.env['FAULT_COPIES'] ?? '';
const open = (folder: string): SqliteStore =>
  new SqliteStore(join(folder, 'store.sqlite'), 'ws_test', sheetBox(new Uint8Array(32).fill(1)));

const calls = (): number => plan.counts().writes + plan.counts().syncs;

/** After each commit: how many calls that took, and the size of every log. */
interface Mark {
  calls: number;
  sizes: string;
}

const sizesOf = async (store: Store): Promise<string> => JSON.stringify(await store.logs());

const marked = (store: SqliteStore, marks: Mark[]): Store =>
  new Proxy<Store>(store, {
    get: (target, name) => {
      if (name === 'commit') {
        return async (batch: Batch): Promise<Committed> => {
          const committed = await store.commit(batch);
          marks.push({ calls: calls(), sizes: await sizesOf(store) });
          return committed;
        };
      }
      const value: unknown = Reflect.get(target, name, target);
      return typeof value === 'function' ? (value.bind(target) as unknown) : value;
    },
  });

/** What a copy holds is what was acknowledged last before it, or the step that was on its way, whole. */
const faultOf = async (
  folder: string,
  at: number,
  marks: readonly Mark[],
): Promise<string | null> => {
  const before = marks.findLast((m) => m.calls < at)?.sizes ?? '[]';
  const next = marks.find((m) => m.calls >= at)?.sizes ?? before;
  const store = open(folder);
  const sizes = await sizesOf(store);
  const faults = await checkStore(store, vkey);
  await store.close();
  if (faults.length > 0) return JSON.stringify(faults);
  return sizes === before || sizes === next ? null : `${sizes} is neither ${before} nor ${next}`;
};

mkdirSync(copies);
const folder = join(base, 'run-copies');
mkdirSync(folder);
plan.set('copy');
const marks: Mark[] = [];
const store = open(folder);
await lockedBundle(marked(store, marks));
const all = calls();
plan.heal();
await store.close();
const wrong: string[] = [];
let opened = 0;
for (let at = 1; at <= all; at += Number(step)) {
  const copy = join(copies, String(at));
  if (!existsSync(join(copy, 'store.sqlite'))) continue;
  opened++;
  const fault = await faultOf(copy, at, marks).catch((thrown: unknown) => String(thrown));
  if (fault !== null) wrong.push(`before call ${String(at)}: ${fault}`);
}
rmSync(copies, { recursive: true });
process.stdout.write(`${JSON.stringify({ calls: all, commits: marks.length, opened, wrong })}\n`);
