import { createHash } from 'node:crypto';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { checkMedia } from '../../../server/src/cli/verify-media.ts';
import { movieByHand } from '../../support/media-by-hand.ts';
import { temporaryDirectory } from '../../support/temporary-directory.ts';

const log = 'ev_0000000000000000000001';
const file = movieByHand();
const sha256 = createHash('sha256').update(file).digest('hex');
const attached = (media: string, hash: string): string =>
  JSON.stringify({ type: 'media-attached', data: { media, sha256: hash } });
const removed = (media: string): string =>
  JSON.stringify({ type: 'media-removed', data: { media } });

test('ME-21: each photo and clip of a record is held against its hash; a removed one may be gone', async () => {
  const directory = temporaryDirectory();
  const place = join(directory, log, sha256);
  mkdirSync(join(directory, log));
  writeFileSync(place, file);
  const gone = 'f'.repeat(64);
  const events = [attached('md_1', sha256), attached('md_2', gone), removed('md_2')];
  expect(await checkMedia({ log, events }, directory)).toEqual({ files: 1, faults: [] });
  const without = events.slice(0, 2);
  expect(await checkMedia({ log, events: without }, directory)).toEqual({
    files: 2,
    faults: [{ file: join(directory, log, gone), what: 'is missing' }],
  });
  writeFileSync(place, Buffer.concat([file, Buffer.from([0])]));
  const changed = { file: place, what: 'is not the file of the record' };
  expect((await checkMedia({ log, events }, directory)).faults).toEqual([changed]);
  rmSync(place);
  expect((await checkMedia({ log, events }, directory)).faults).toEqual([
    { file: place, what: 'is missing' },
  ]);
});

test('ME-21, SP-9: a photo of the specimen is looked for with the register that has it', async () => {
  const directory = temporaryDirectory();
  const place = join(directory, 'rg_2', sha256);
  const event = (type: string): string =>
    JSON.stringify({ type: `specimen-photo-${type}`, data: { photo: 'md_1', sha256 } });
  const events = [event('added')];
  const missing = (file: string) => ({ files: 1, faults: [{ file, what: 'is missing' }] });
  expect(await checkMedia({ log, events }, directory)).toEqual(
    missing(join(directory, 'rg_*', sha256)),
  );
  mkdirSync(join(directory, 'rg_1'));
  mkdirSync(join(directory, 'rg_2'));
  expect(await checkMedia({ log, events }, directory)).toEqual(
    missing(join(directory, 'rg_1', sha256)),
  );
  writeFileSync(place, file);
  expect(await checkMedia({ log, events }, directory)).toEqual({ files: 1, faults: [] });
  writeFileSync(place, 'another file');
  expect((await checkMedia({ log, events }, directory)).faults).toEqual([
    { file: place, what: 'is not the file of the record' },
  ]);
  const gone = [...events, event('removed')];
  expect(await checkMedia({ log, events: gone }, directory)).toEqual({ files: 0, faults: [] });
});
