import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { attachLive, showLive } from '../support/live-upload.ts';
import { livePanel } from '../support/live-panel.ts';
import { runProgram, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const started = async (directory = temporaryDirectory(), port = 0): Promise<Program> => {
  const program = await startProgram(directory, port);
  onTestFinished(() => program.stop('SIGKILL'));
  return program;
};
const on = (directory: string, command: string, ...rest: string[]) =>
  runProgram([command, ...rest, '--data-dir', directory]);

/** Files of a media folder by their path in it. */
const filesIn = (media: string): string[] =>
  existsSync(media)
    ? readdirSync(media)
        .filter((log) => /^(?:ev|rg)_/u.test(log))
        .flatMap((log) => readdirSync(join(media, log)).map((file) => join(log, file)))
        .toSorted()
    : [];

/** A server with a photo of a task, one of a specimen, and one that was removed; and a backup of it. */
const backedUp = async () => {
  const program = await started();
  const p = await livePanel(program.url, program.signInLink ?? '');
  await attachLive(p, 1);
  const gone = await attachLive(p, 2);
  await p.moderator.onEvaluation({ type: 'remove-media', media: gone, reason: 'A face is in it.' });
  const shown = await showLive(p, 3);
  const file = join(temporaryDirectory(), 'copy.sqlite');
  const media = join(program.directory, 'media');
  return { program, p, shown, file, media, beside: `${file}.media` };
};

test('ME-22: a backup has every photo and clip of its record and none that was removed; a restore puts them back, checked', async () => {
  const { program, p, shown, file, media, beside } = await backedUp();
  const made = await on(program.directory, 'backup', file);
  expect(made).toMatchObject({ code: 0, err: '' });
  expect(made.out).toContain('holds 2 of 2 photos and clips');
  expect(filesIn(beside)).toEqual(filesIn(media));
  expect(filesIn(beside)).toHaveLength(2);
  expect(readdirSync(media).some((name) => name.startsWith('held-'))).toBe(false);
  expect((await on(program.directory, 'backup', file)).code).toBe(2);

  // Removed after the backup: it comes back with it.
  const { specimen, photo } = shown;
  await p.moderator.onPanel(p.panel, {
    type: 'remove-specimen-photo',
    specimen,
    photo,
    reason: 'By mistake.',
  });
  expect(filesIn(media)).toHaveLength(1);
  const { cookie } = p.moderator;
  p.moderator.close();
  await program.stop('SIGTERM');
  rmSync(media, { recursive: true });
  const restored = await on(program.directory, 'restore', file);
  expect(restored).toMatchObject({ code: 0, err: '' });
  expect(restored.out).toContain('2 photos and clips are in place, each checked.');
  expect(filesIn(media)).toEqual(filesIn(beside));
  const second = await started(program.directory, Number(new URL(program.url).port));
  const answer = await fetch(`${second.url}/api/specimens/${specimen}/photos/${photo}`, {
    headers: { cookie },
  });
  expect(answer.status).toBe(200);
  expect(answer.headers.get('content-type')).toBe('image/png');
});

test('ME-22: a restore names each photo or clip that is missing or changed, and changes nothing unless told to go on', async () => {
  const { program, p, file, media, beside } = await backedUp();
  expect((await on(program.directory, 'backup', file)).code).toBe(0);
  p.moderator.close();
  await program.stop('SIGTERM');
  const [changed = '', missing = ''] = filesIn(beside);
  writeFileSync(join(beside, changed), 'another picture');
  rmSync(join(beside, missing));
  rmSync(media, { recursive: true });
  const place = join(program.directory, 'unhindered.sqlite');
  const before = readFileSync(place);
  const refused = await on(program.directory, 'restore', file);
  expect(refused.code).toBe(1);
  expect(refused.err).toContain(`${join(beside, changed)} is not the file of the record.`);
  expect(refused.err).toContain(`${join(beside, missing)} is missing.`);
  expect(refused.err).toContain('--without-missing');
  expect(readFileSync(place).equals(before)).toBe(true);
  expect(filesIn(media)).toEqual([]);
  const without = await on(program.directory, 'restore', file, '--without-missing');
  expect(without.code).toBe(0);
  expect(without.out).toMatch(/Restored \d+ logs/u);
  expect(without.err).toContain(`${join(beside, missing)} is missing.`);
});

test('ME-22: a backup of a server that lost a file says which, and keeps the rest', async () => {
  const { program, file, media, beside } = await backedUp();
  const [lost = '', whole = ''] = filesIn(media);
  rmSync(join(media, lost));
  const made = await on(program.directory, 'backup', file);
  expect(made.code).toBe(1);
  expect(made.out).toContain('holds 1 of 2 photos and clips');
  expect(made.err).toContain(`${join(media, lost)} is missing.`);
  expect(filesIn(beside)).toEqual([whole]);
});
