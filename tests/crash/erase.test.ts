import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { livePanel } from '../support/live-panel.ts';
import { startProgram } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const NAME = 'Quillon Farthingale';

/** Ways in which the name could stand in a file. */
const forms = (name: string): Buffer[] => [
  Buffer.from(name, 'utf8'),
  Buffer.from(name, 'utf16le'),
  Buffer.from(name, 'utf16le').swap16(),
  Buffer.from([...name].map((c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`).join('')),
  Buffer.from(Buffer.from(name).toString('hex')),
  Buffer.from(encodeURIComponent(name)),
];

const findings = (directory: string): string[] =>
  readdirSync(directory, { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile())
    .flatMap((e) => {
      const file = join(e.parentPath, e.name);
      const bytes = readFileSync(file);
      return forms(NAME).some((form) => bytes.includes(form)) ? [e.name] : [];
    });

test('ST-7: an erased name is in no file of the store, nor in its write-ahead log', async () => {
  const directory = temporaryDirectory();
  const program = await startProgram(directory);
  onTestFinished(() => program.stop('SIGKILL'));
  const p = await livePanel(program.url, program.signInLink ?? '');
  const { seat } = await p.join('reviewer', NAME);
  expect(findings(directory), 'the search finds a name that is there').not.toEqual([]);

  const reason = 'Asked to be forgotten.';
  await p.moderator.onPanel(p.panel, { type: 'revoke-seat', seat, reason });
  await p.moderator.onPanel(p.panel, { type: 'erase-name', seat });
  expect(findings(directory)).toEqual([]);
  await program.stop();
  expect(findings(directory)).toEqual([]);
});
