import { expect, test } from 'vitest';
import { keysOf } from '../../../server/src/audit/key-chain.ts';
import { verifierKey } from '../../../server/src/audit/signed-note.ts';
import { checkStore } from '../../../server/src/flows/check-store.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { recordStart, systemLogOf } from '../../../server/src/flows/system-log.ts';
import { witnessOf } from '../../../server/src/flows/witness.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { judge } from '../../../web/src/sync/witness/judge.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { goOnWith, takingOver } from '../../support/rotated.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp, vkey } from '../../support/test-app.ts';
import { lockPlain } from '../../support/two-records.ts';

test('KR-1: logs that two keys signed hold, under the keys in their order and under no other', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const old = app.signer;
  const now = takingOver(old, 44);
  goOnWith(app, now);
  await lockPlain(panel);
  expect(await checkStore(app.store, keysOf(app.signer))).toEqual([]);
  expect(await checkStore(app.store, vkey)).not.toEqual([]);
  // Nothing is by an earlier key after a later one: whoever finds the old key later cannot go on with it.
  app.signer = old;
  const { moderator, act, evaluation: log } = panel;
  accepted(await act(moderator, { type: 'withdraw', reason: 'Invented: by whoever found it.' }));
  app.signer = now;
  const faults = await checkStore(app.store, keysOf(app.signer));
  expect(faults).toMatchObject([{ log, what: expect.stringMatching(/does not hold/u) as string }]);
});

test('KR-1: a bundle over a change of keys names them; either leads to it, and a key that nobody vouched for does not', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const first = app.signer;
  goOnWith(app, takingOver(first, 44));
  await lockPlain(panel);
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  const told = JSON.parse(new TextDecoder().decode(bundle.value)) as Record<string, unknown>;
  expect(told['vkey']).toBe(verifierKey(app.signer));
  expect(told['successions']).toEqual(app.signer.successions);
  for (const key of [verifierKey(first), verifierKey(app.signer)]) {
    expect(verifyBundle(bundle.value, { key })).toMatchObject({ ok: true, anchored: true });
  }
  const stranger = verifierKey({ ...first, seed: new Uint8Array(32).fill(9) });
  expect(verifyBundle(bundle.value, { key: stranger }).findings).toMatchObject([{ step: 'key' }]);
  // An unchained new key: the same server's name, the same log, signed by a key nobody spoke for.
  goOnWith(app, { ...first, seed: new Uint8Array(32).fill(45) });
  const { store } = app;
  expect((await checkStore(store, keysOf(app.signer))).length).toBeGreaterThan(0);
});

test('KR-1: a record locked under the old key stays the same file, to the byte', async () => {
  const { app, panel, bytes } = await lockedBundle();
  goOnWith(app, takingOver(app.signer, 44));
  const again = await exportBundle(app, await panel.live());
  expect(again.ok && Buffer.from(again.value).equals(Buffer.from(bytes))).toBe(true);
});

test('KR-1: a device that knows the old key follows to the new one, and warns of one that nobody vouched for', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const first = app.signer;
  const before = await witnessOf(app, await panel.live(), 0);
  if (!before) throw new Error('nothing is signed');
  const met = judge(panel.evaluation, undefined, before);
  if (!met.ok) throw new Error(met.fault);
  goOnWith(app, takingOver(takingOver(first, 44), 45));
  const same = await witnessOf(app, await panel.live(), met.keep.size);
  expect(same, 'what the old key signed is told under it').toMatchObject({ key: met.keep.key });
  await lockPlain(panel);
  const now = await witnessOf(app, await panel.live(), met.keep.size);
  if (!now) throw new Error('nothing is signed');
  expect(now.successions).toHaveLength(2);
  expect(judge(panel.evaluation, met.keep, now)).toMatchObject({ ok: true });
  const unchained = [undefined, [], now.successions?.slice(1), now.successions?.slice(0, 1)];
  for (const successions of unchained) {
    const { key, note, proof } = now;
    const said =
      successions === undefined ? { key, note, proof } : { key, note, proof, successions };
    expect(judge(panel.evaluation, met.keep, said)).toEqual({ ok: false, fault: 'signature' });
  }
  // Nobody goes back to the old key either.
  const kept = judge(panel.evaluation, met.keep, now);
  if (!kept.ok) throw new Error(kept.fault);
  expect(judge(panel.evaluation, kept.keep, before)).toEqual({ ok: false, fault: 'signature' });
});

test('KR-1: each change of keys is on record once, at the start after it', async () => {
  const { app } = testApp();
  const start = async (): Promise<string[]> => {
    const system = await systemLogOf(app, () => app.ids.id('sy'));
    await recordStart(app, system);
    const events = (await app.store.events(system.id)).map(
      (text) => JSON.parse(text) as { type: string; data: { now?: string } },
    );
    return events.flatMap((e) => (e.type === 'key-rotated' ? [e.data.now ?? ''] : []));
  };
  expect(await start()).toEqual([]);
  goOnWith(app, takingOver(app.signer, 44));
  const second = verifierKey(app.signer);
  expect(await start()).toEqual([second]);
  expect(await start()).toEqual([second]);
  goOnWith(app, takingOver(takingOver(app.signer, 45), 46));
  expect(await start()).toEqual(keysOf(app.signer).slice(1));
  expect(await checkStore(app.store, keysOf(app.signer))).toEqual([]);
});
