import { expect, test } from 'vitest';
import { MemoryStore } from '../../../server/src/adapters/memory-store.ts';
import { runPanelCommand } from '../../../server/src/flows/run-panel-command.ts';
import { runWorkspaceCommand } from '../../../server/src/flows/run-workspace-command.ts';
import { accepted, CLIENT_AT, commandId, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

test('EV-7: the same command sent three times has one effect and one answer', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  const id = commandId();
  const first = await p.act(p.moderator, { type: 'start-round' }, id);
  const size = (await store.events(p.evaluation)).length;
  accepted(await p.act(p.reviewers[0]!, { type: 'finish-sheet' }));
  const again = await Promise.all(
    [1, 2].map(() => p.act(p.moderator, { type: 'start-round' }, id)),
  );
  expect(again).toEqual([first, first]);
  expect(await store.events(p.evaluation)).toHaveLength(size + 1);
});

test('EV-7: sent twice at the same moment it has one effect too', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  const message = {
    id: commandId(),
    clientAt: CLIENT_AT,
    on: 'workspace',
    command: { type: 'create-panel', title: 'Twice', occasion: '', moderatorName: 'Mo' },
  } as const;
  const before = (await store.logs()).length;
  const [one, two] = await Promise.all([
    runWorkspaceCommand(app, p.lead, message),
    runWorkspaceCommand(app, p.lead, message),
  ]);
  expect(one).toEqual(two);
  expect((await store.logs()).length).toBe(before + 1);
});

test('EV-7: the same id with other content is refused; the same id of somebody else is not', async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 2);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const id = commandId();
  accepted(await p.act(p.reviewers[0]!, { type: 'finish-sheet' }, id));
  expect(await p.act(p.reviewers[0]!, { type: 'resume-sheet' }, id)).toMatchObject({
    ok: false,
    rejection: { code: 'duplicate-command' },
  });
  accepted(await p.act(p.reviewers[1]!, { type: 'finish-sheet' }, id));
});

test('a secret is told once: the answer that is kept does not hold it', async () => {
  const store = new MemoryStore();
  const { app } = testApp(store);
  const p = await seatedPanel(app, 1);
  const message = {
    id: commandId(),
    clientAt: CLIENT_AT,
    on: 'panel',
    panel: p.panel,
    command: { type: 'invite', role: 'observer', label: '', by: 'link', until: null, seat: null },
  } as const;
  const first = await runPanelCommand(app, p.moderator, message);
  expect(first).toMatchObject({ ok: true, result: { kind: 'invitation' } });
  const again = await runPanelCommand(app, p.moderator, message);
  expect(again).toEqual({ ok: true, seq: first.ok ? first.seq : -1 });
  const kept = await store.answer(p.moderator.seat, message.id);
  expect(kept?.answer).not.toContain('secret');
});
