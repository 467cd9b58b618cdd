import { expect, test } from 'vitest';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import type { RecordBlock } from '../../../shared-types/src/index.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const REASON = 'The hardware was not the one that is sold today.';

/** A locked evaluation in which two reviewers said whether they would be content, one of them with a tie. */
const endorsed = async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const { moderator, reviewers, act } = panel;
  const [a, b] = reviewers;
  if (!a || !b) throw new Error('nobody is seated');
  await panel.declare(b, [{ to: 'tool', tool: 'mask-cutter', detail: 'Advice to a seller.' }]);
  accepted(await act(moderator, { type: 'start-round' }));
  for (const who of reviewers) await panel.rate(who, { 'pulse-check': 1 });
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(a, { type: 'endorse', content: true, reason: 'Sits well.' }));
  accepted(await act(b, { type: 'endorse', content: false, reason: 'Presses at the jaw.' }));
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const blocks = async (section: string): Promise<RecordBlock[]> => {
    const bundle = await exportBundle(app, await panel.live());
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    const record = buildRecord(bundle.value);
    return record.sections.find((s) => s.id === section)?.blocks ?? [];
  };
  return { panel, blocks };
};

test('EN-1: the printed record counts the statements apart, by letter, and says who has a tie', async () => {
  const { blocks } = await endorsed();
  const text = JSON.stringify(await blocks('panel'));
  expect(text).toContain('1 reviewer content, 1 not content');
  expect(text).toContain('reviewer A, content: Sits well.');
  expect(text).toContain('reviewer B (has a declared tie), not content: Presses at the jaw.');
});

test('CR-1: the printed record of a withdrawn evaluation begins with that, and keeps all the rest', async () => {
  const { panel, blocks } = await endorsed();
  const before = await blocks('verdict');
  accepted(await panel.act(panel.moderator, { type: 'withdraw', reason: REASON }));
  const after = await blocks('verdict');
  expect(after[0]).toMatchObject({ kind: 'text', tone: 'strong' });
  expect(JSON.stringify(after[0])).toContain(REASON);
  expect(after.slice(-before.length)).toEqual(before);
});
