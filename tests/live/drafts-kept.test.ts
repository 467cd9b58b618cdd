import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { DraftAnswer, ProtocolsAnswer } from '../../shared-types/src/index.ts';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';
import { asker } from '../support/workshop-asker.ts';
import { changedText, COPY } from '../support/workshop.ts';

const started = async (directory: string, environment = {}, port = 0): Promise<Program> => {
  const program = await startProgram(directory, port, environment);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};
const on = (directory: string, ...command: string[]) =>
  runProgram([...command, '--data-dir', directory]);

const NEW = changedText((p) => {
  p.version = '1.1.0';
  p.title = 'Emergency access, with a helmet 🏈';
});
const HALF = '{ "title": "half a thought 🏈';

/** A workspace with one version published from a draft, and another draft that is no JSON yet. */
const written = async () => {
  const directory = temporaryDirectory();
  const program = await started(directory);
  const p = await livePanel(program.url, program.signInLink ?? '');
  const lead = asker(program.url, p.moderator.cookie);
  const begin = async (): Promise<string> => (await lead.post(COPY)).body.result?.draft ?? '';
  const save = (draft: string, revision: number, text: string) =>
    lead.post({ type: 'save-draft', draft, revision, text });
  const [first, draft] = [await begin(), await begin()];
  expect((await save(first, 1, NEW)).status).toBe(200);
  const note = 'A title that says more.';
  const publish = { type: 'publish-draft', draft: first, revision: 2, note } as const;
  expect((await lead.post(publish)).status).toBe(200);
  expect((await save(draft, 1, HALF)).status).toBe(200);
  const { cookie } = p.moderator;
  p.moderator.close();
  return { directory, program, port: Number(new URL(program.url).port), cookie, draft, lead, save };
};

/** What is there for the lead to see: versions, drafts, and the text of one. */
const seen = async (url: string, cookie: string, draft: string) => {
  const lead = asker(url, cookie);
  return {
    list: (await lead.get<ProtocolsAnswer>('/protocols')).body,
    draft: (await lead.get<DraftAnswer>(`/drafts/${draft}`)).body,
  };
};

test('PR-7: a backup holds the drafts to the last sign, and a restore puts back those of its day', async () => {
  const { directory, program, port, cookie, draft, save } = await written();
  const before = await seen(program.url, cookie, draft);
  expect(before.draft).toMatchObject({ text: HALF, revision: 2 });
  expect(before.list.published.map((v) => v.version)).toEqual(['1.1.0', '1.0.0']);
  const file = join(temporaryDirectory(), 'copy.sqlite');
  expect((await on(directory, 'backup', file)).code).toBe(0);
  expect((await save(draft, 2, `${HALF}, later`)).status).toBe(200);
  await program.stop('SIGTERM');
  expect(await on(directory, 'restore', file)).toMatchObject({ code: 0, err: '' });

  const second = await started(directory, {}, port);
  expect(await seen(second.url, cookie, draft)).toEqual(before);
  // A browser that had the later text is told, and keeps it: nothing is written over what it did not see.
  const lead = asker(second.url, cookie);
  const text = `${HALF}, later still`;
  const late = await lead.post({ type: 'save-draft', draft, revision: 3, text });
  expect(late).toMatchObject({ status: 409, body: { error: { code: 'draft-changed' } } });
  const next = await lead.post({ type: 'save-draft', draft, revision: 2, text: NEW });
  expect(next).toMatchObject({ status: 200, body: { result: { revision: 3 } } });
});

describe.skipIf(noPostgres)('drafts in a database', () => {
  test('PR-7 OP-3: a move takes the drafts and what was published along, and they are written on there', async () => {
    const { directory, program, port, cookie, draft } = await written();
    const before = await seen(program.url, cookie, draft);
    await program.stop('SIGTERM');
    const made = await freshDatabase();
    onTestFinished(() => made.drop());
    const moved = await on(directory, 'move', '--store', made.address);
    expect(moved).toMatchObject({ code: 0, err: '' });

    const second = await started(directory, { STORE: made.address }, port);
    expect(await seen(second.url, cookie, draft)).toEqual(before);
    const lead = asker(second.url, cookie);
    const text = NEW.replace('"1.1.0"', '"1.2.0"');
    expect((await lead.post({ type: 'save-draft', draft, revision: 2, text })).status).toBe(200);
    const note = 'Published from the database.';
    const publish = { type: 'publish-draft', draft, revision: 3, note } as const;
    expect((await lead.post(publish)).status).toBe(200);
    const { list } = await seen(second.url, cookie, draft);
    expect(list.drafts).toEqual([]);
    expect(list.published.map((v) => v.version)).toEqual(['1.2.0', '1.1.0', '1.0.0']);
  });
});
