import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type {
  DraftAnswer,
  ProtocolsAnswer,
  WorkshopCommand,
} from '../../shared-types/src/index.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { runProgram } from '../support/program.ts';
import { SPECIMEN } from '../support/specimen.ts';
import { asker } from '../support/workshop-asker.ts';
import { changedText, COPY, STANDARD } from '../support/workshop.ts';

/** More than other commands may send, and good. */
const LARGE = changedText((p) => {
  p.version = '1.1.0';
  for (const s of p.sections) for (const t of s.tasks) t.does += ` ${'More words. '.repeat(100)}`;
});

test('PR-8 PR-9: two browsers write one draft, and what is published is chosen and never changes', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const { client } = await p.join('moderator', 'Ruth (invented)');
  const [lead, ruth] = [asker(server.url, p.moderator.cookie), asker(server.url, client.cookie)];
  const begun = await ruth.post(COPY);
  const draft = begun.body.result?.draft ?? '';
  expect(begun).toMatchObject({ status: 200, body: { result: { revision: 1 } } });

  expect(LARGE.length).toBeGreaterThan(64 * 1024);
  const save = { type: 'save-draft', draft, revision: 1, text: LARGE } as const;
  expect(await ruth.post(save)).toMatchObject({ status: 200, body: { result: { revision: 2 } } });
  const refused = await lead.post({ ...save, text: 'by the lead' });
  expect(refused).toMatchObject({ status: 409, body: { error: { code: 'draft-changed' } } });
  expect(refused.body.error?.message).toMatch(/^Ruth \(invented\) saved this draft on/u);
  const seen = await lead.get<DraftAnswer>(`/drafts/${draft}`);
  expect(seen.body).toMatchObject({ revision: 2, faults: [], savedBy: 'Ruth (invented)' });
  expect(seen.body.text).toBe(LARGE);

  const publish = { type: 'publish-draft', draft, revision: 2, note: 'Says more.' } as const;
  expect((await lead.post(publish)).status).toBe(200);
  expect((await ruth.post({ ...save, revision: 2 })).status).toBe(404);
  const list = await ruth.get<ProtocolsAnswer>('/protocols');
  expect(list.body.published[0]).toMatchObject({
    version: '1.1.0',
    former: '1.0.0',
    by: 'The lead',
    note: 'Says more.',
  });
  const created = await p.moderator.onPanel(p.panel, {
    type: 'create-evaluation',
    title: 'Under the new version',
    specimen: SPECIMEN,
    protocol: { id: STANDARD.id, version: '1.1.0' },
  });
  expect(created?.kind).toBe('evaluation');
  const diff = await ruth.get<{ changes: unknown[] }>(
    `/protocol-diff?older=${STANDARD.id}@1.0.0&newer=${STANDARD.id}@1.1.0`,
  );
  expect(diff.body.changes).toHaveLength(31);
});

test('PR-11: nobody but the lead and moderators sees or writes a draft; what they send is not even read', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const lead = asker(server.url, p.moderator.cookie);
  const draft = (await lead.post(COPY)).body.result?.draft ?? '';
  const doors = [`/drafts/${draft}`, `/drafts/${draft}/check`];
  const save = { type: 'save-draft', draft, revision: 1, text: 'taken over' };
  for (const role of ['reviewer', 'observer', 'recorder', 'operator', 'wall'] as const) {
    const { client } = await p.join(role, `${role} (invented)`);
    const who = asker(server.url, client.cookie);
    for (const command of [COPY, save, { type: 'no-such-thing', text: 'x'.repeat(3_000_000) }]) {
      expect(await who.post(command), role).toMatchObject({
        status: 403,
        body: { error: { code: 'role-may-not' } },
      });
    }
    for (const door of doors) expect((await who.get(door)).status, role).toBe(403);
    const overSocket = await client.send({ on: 'workspace', command: save as WorkshopCommand });
    expect(overSocket).toMatchObject({ ok: false, rejection: { code: 'role-may-not' } });
    const list = await who.get<ProtocolsAnswer>('/protocols');
    expect(list.status, role).toBe(role === 'wall' ? 403 : 200);
    if (role !== 'wall') expect(list.body.drafts, role).toBeNull();
  }
  const nobody = asker(server.url, '');
  expect((await nobody.post(save)).status).toBe(401);
  for (const door of [...doors, '/protocols']) expect((await nobody.get(door)).status).toBe(401);
  expect((await lead.post({ type: 'no-such-thing' })).status).toBe(400);
  expect((await lead.post({ ...save, text: 'x'.repeat(1_000_001) })).body.error?.message).toMatch(
    /1 MB at most/u,
  );
  expect((await lead.get<DraftAnswer>(doors[0] ?? '')).body.revision).toBe(1);
});

test('AC-19: the drafts and protocols of another organisation are not there', async () => {
  const server = await liveServer();
  const added = await runProgram(['workspace', 'add', 'Second', '--data-dir', server.directory]);
  const link = /(http\S+)/u.exec(added.out)?.[1] ?? '';
  const first = await SeatClient.signIn(server.url, server.signInLink);
  const second = await SeatClient.signIn(server.url, link);
  onTestFinished(() => {
    first.close();
    second.close();
  });
  const [ours, theirs] = [asker(server.url, first.cookie), asker(server.url, second.cookie)];
  const draft = (await theirs.post(COPY)).body.result?.draft ?? '';
  const blank = `pd_${'A'.repeat(22)}`;
  expect(await ours.get(`/drafts/${draft}`)).toEqual(await ours.get(`/drafts/${blank}`));
  const save = { type: 'save-draft', revision: 1, text: 'x' };
  const foreign = await ours.post({ ...save, draft });
  expect(foreign).toEqual(await ours.post({ ...save, draft: blank }));
  expect(foreign.status).toBe(404);
  expect((await ours.get<ProtocolsAnswer>('/protocols')).body.drafts).toEqual([]);
  expect((await theirs.get<ProtocolsAnswer>('/protocols')).body.drafts).toHaveLength(1);
});

test('PR-5: the schema is served to everybody and printed by the program, both the same', async () => {
  const server = await liveServer();
  const response = await fetch(`${server.url}/api/protocol.schema.json`);
  expect(response.headers.get('content-type')).toContain('application/schema+json');
  const served = (await response.json()) as object;
  const printed = await runProgram(['protocol', 'schema']);
  expect(printed).toMatchObject({ code: 0, err: '' });
  expect(JSON.parse(printed.out)).toEqual(served);
  expect((await runProgram(['protocol', 'schema', 'x'])).code).toBe(2);
  const file = join(server.directory, 'half.json');
  writeFileSync(file, '{\n "id": 1,\n}');
  const checked = await runProgram(['protocol', 'check', file]);
  expect(checked).toMatchObject({ code: 1 });
  expect(checked.out).toContain('the file (line 3, column 1): is not JSON: nothing stands after');
});
