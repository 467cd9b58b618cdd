import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { expect, onTestFinished, test } from 'vitest';
import { openKeys } from '../../server/src/adapters/key-files.ts';
import { sheetBox } from '../../server/src/adapters/sheet-box.ts';
import { SqliteStore } from '../../server/src/adapters/sqlite-store.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { checkStore } from '../../server/src/flows/check-store.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { crewOf, expectKept, startLoad, type Crew } from '../support/acknowledged-load.ts';
import { startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/** How often the server is killed: a few times by default, hundreds for a proper look. */
const KILLS = Number(process.env['KILLS'] ?? 3);
const SEED = Number(process.env['SEED'] ?? 20260302);

/** The log holds each acknowledged command once, and its signatures hold. */
const expectLog = async (directory: string, { panel, journal }: Crew): Promise<void> => {
  const keys = openKeys(directory, true);
  const file = join(directory, 'unhindered.sqlite');
  const store = new SqliteStore(file, 'ws_local', sheetBox(keys.sheets));
  const vkey = verifierKey({ name: 'unhindered.local', seed: keys.signing });
  expect(await checkStore(store, vkey)).toEqual([]);
  const events = (await store.events(panel)).map((t) => JSON.parse(t) as { cmd: string | null });
  await store.close();
  for (const [id, answer] of journal.commands) {
    expect(answer, id).toMatchObject({ ok: true });
    expect(events.filter((e) => e.cmd === id).length, id).toBe(1);
  }
};

test(
  `ST-6: ${String(KILLS)} times killed under load, no acknowledged edit or command is lost or doubled`,
  { timeout: 60_000 + KILLS * 60_000 },
  async () => {
    const random = seededRandom(SEED);
    const directory = temporaryDirectory();
    let program: Program = await startProgram(directory);
    onTestFinished(() => program.stop('SIGKILL'));
    const port = Number(new URL(program.url).port);
    const crew = await crewOf(program);
    for (let kill = 0; kill < KILLS; kill++) {
      const load = startLoad(crew);
      await pause(400 + random() * 600);
      await program.stop('SIGKILL');
      await load.stop();
      const where = `seed ${String(SEED)}, kill ${String(kill)}`;
      program = await startProgram(directory, port);
      const health = (await (await fetch(`${program.url}/healthz`)).json()) as object;
      expect(health, where).toEqual({ ok: true, readOnly: null });
      await expectKept(crew, where);
    }
    await program.stop();
    expect(program.process.exitCode).toBe(0);
    await expectLog(directory, crew);
    expect(crew.journal.commands.size).toBeGreaterThan(KILLS);
    expect(crew.journal.edits.size).toBeGreaterThan(0);
  },
);

/** How long the server stands still, seconds: past the time after which devices give a connection up, with 60. */
const FROZEN_S = Number(process.env['FROZEN_S'] ?? 4);

test(
  `ST-6: a server that stood still for ${String(FROZEN_S)} s goes on, and what was typed meanwhile arrives once`,
  { timeout: 120_000 + FROZEN_S * 2000 },
  async () => {
    const directory = temporaryDirectory();
    const program = await startProgram(directory);
    onTestFinished(() => program.stop('SIGKILL'));
    const crew = await crewOf(program);
    const before = startLoad(crew);
    await pause(500);
    const { size } = crew.journal.commands;
    program.process.kill('SIGSTOP');
    await pause(FROZEN_S * 1000);
    program.process.kill('SIGCONT');
    await pause(1500);
    await before.stop();
    // Whatever was not answered is asked again under its own id.
    const after = startLoad(crew);
    await expect.poll(() => crew.journal.commands.size, { timeout: 60_000 }).toBeGreaterThan(size);
    await expect.poll(() => crew.journal.unanswered.size, { timeout: 60_000 }).toBeLessThan(2);
    await after.stop();
    await expectKept(crew, 'after standing still');
    await program.stop();
    expect(program.process.exitCode).toBe(0);
    await expectLog(directory, crew);
  },
);
