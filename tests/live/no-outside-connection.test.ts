import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { rehearseEvaluation } from '../../server/src/rehearse/rehearsal.ts';
import { hasCompiler, NO_COMPILER, preload } from '../support/preload.ts';
import { runProgram, startProgram } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/** The environment of a process that is watched, and what it asked of the network so far. */
const watched = () => {
  const file = join(temporaryDirectory(), 'connections');
  const environment = { LD_PRELOAD: preload('record-connections'), CONNECTIONS: file };
  const asked = (): string[] =>
    existsSync(file) ? readFileSync(file, 'utf8').trim().split('\n') : [];
  return { environment, asked };
};

test.skipIf(hasCompiler)(NO_COMPILER, () => expect(hasCompiler).toBe(false));

test.skipIf(!hasCompiler)(
  'the record can fail: it shows a connection, a datagram and a name',
  () => {
    const { environment, asked } = watched();
    const script = `
    require('node:net').connect(9, '127.0.0.1').on('error', () => undefined);
    const socket = require('node:dgram').createSocket('udp4');
    socket.send('x', 9, '127.0.0.2', () => socket.close());
    require('node:dns').lookup('nowhere.invalid', () => undefined);
  `;
    const run = spawnSync(process.execPath, ['-e', script], {
      env: { ...process.env, ...environment },
    });
    expect(run.status, run.stderr.toString()).toBe(0);
    const said = asked().join('\n');
    for (const one of ['connect 127.0.0.1:9', '127.0.0.2:9', 'resolve nowhere.invalid']) {
      expect(said).toContain(one);
    }
  },
);

test.skipIf(!hasCompiler)(
  'in a whole evaluation, with pages, bundle and backup, the server asks nothing of the network',
  { timeout: 400_000 },
  async () => {
    const { environment, asked } = watched();
    const directory = temporaryDirectory();
    const program = await startProgram(directory, 0, environment);
    onTestFinished(() => program.stop('SIGKILL'));
    const outcome = await rehearseEvaluation({
      url: program.url,
      signInLink: program.signInLink ?? '',
      reviewers: 3,
      seed: 7,
      pace: 0,
      say: () => undefined,
    });
    expect(outcome.bundle.length).toBeGreaterThan(1000);
    for (const path of ['/', '/join', '/healthz', '/manifest.webmanifest']) {
      expect((await fetch(`${program.url}${path}`)).ok, path).toBe(true);
    }
    const copy = join(temporaryDirectory(), 'copy.sqlite');
    expect((await runProgram(['backup', copy, '--data-dir', directory])).code).toBe(0);
    await program.stop();
    // A name service's own socket file is on this machine.
    const outside = asked().filter((line) => !/^connect unix:/u.test(line));
    process.stdout.write(`outside connections in a whole evaluation: ${String(outside.length)}\n`);
    expect(outside).toEqual([]);
  },
);
