import { expect, test } from 'vitest';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted } from '../../support/seated-panel.ts';

test('AC-14: the bundle of a locked evaluation verifies without the erased name, and does not hold it', async () => {
  const { app, panel, bytes, key } = await lockedBundle();
  const seat = panel.reviewers[0]?.seat ?? '';
  const person = (await app.store.people(panel.panel)).find((p) => p.seat === seat);
  const before = Buffer.from(bytes).toString('utf8');
  expect(before).toContain(JSON.stringify(person?.name));
  accepted(await panel.onPanel(panel.moderator, { type: 'erase-name', seat }));
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  const after = Buffer.from(bundle.value).toString('utf8');
  expect(after).not.toContain(JSON.stringify(person?.name));
  expect(after).not.toContain(person?.salt);
  expect(verifyBundle(bundle.value, { key, seen: [] })).toMatchObject({ ok: true, anchored: true });
  expect(verifyBundle(bytes, { key, seen: [] }), 'the one made before').toMatchObject({ ok: true });
});
