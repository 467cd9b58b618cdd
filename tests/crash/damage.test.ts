import { cpSync, existsSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { StoreUnavailable } from '../../server/src/adapters/store-unavailable.ts';
import { startServer } from '../../server/src/cli/compose.ts';
import { readConfig } from '../../server/src/cli/config.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { rehearseEvaluation } from '../../server/src/rehearse/rehearsal.ts';
import { liveServer } from '../support/live-server.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/** How many damages: a look by default, hundreds with `npm run family:disk`. */
const DAMAGES = Number(process.env['DAMAGES'] ?? 30);
const SEED = Number(process.env['SEED'] ?? 20260304);
const FILE = 'unhindered.sqlite';

type Random = () => number;

const below = (random: Random, n: number): number => Math.floor(random() * n);

const changeBytes = (file: string, change: (bytes: Buffer) => void): void => {
  const bytes = readFileSync(file);
  change(bytes);
  writeFileSync(file, bytes);
};

/** What can happen to a file on a disk that goes bad. */
const DAMAGE: Record<string, (file: string, random: Random) => void> = {
  'a bit turns': (file, random) =>
    changeBytes(file, (b) => {
      const at = below(random, b.length);
      b[at] = (b[at] ?? 0) ^ (1 << below(random, 8));
    }),
  'a sector is zero': (file, random) =>
    changeBytes(file, (b) => {
      const at = below(random, Math.floor(b.length / 512)) * 512;
      b.fill(0, at, at + 512);
    }),
  'a sector is another one': (file, random) =>
    changeBytes(file, (b) => {
      const sector = (): number => below(random, Math.floor(b.length / 512)) * 512;
      const from = sector();
      b.copy(b, sector(), from, from + 512);
    }),
  'the end is gone': (file, random) => truncateSync(file, below(random, readFileSync(file).length)),
};

/** What the server notes of itself at each start, in its own log and in evaluations under way. */
const ofTheServer = (row: string): boolean =>
  /"sy_[A-Za-z0-9_-]{22}"|\\"type\\":\\"(?:server-started|clock-jumped|store-restored)\\"/u.test(
    row,
  );

/** Every table as text, by name, but for what the server notes of itself. Throws when the file cannot be read. */
const contents = (file: string): Map<string, string[]> => {
  const db = new Database(file);
  try {
    const tables = db
      .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
      .pluck()
      .all() as string[];
    return new Map(
      tables.map((name) => {
        const rows = db.prepare(`SELECT * FROM ${name}`).raw().all();
        const texts = rows.map((row) => JSON.stringify(row));
        return [name, texts.filter((row) => !ofTheServer(row)).toSorted()];
      }),
    );
  } finally {
    db.close();
  }
};

/** Starts on a directory; what the person who starts it is told, or that nothing is wrong. */
const start = async (directory: string): Promise<'fine' | { told: string }> => {
  const flags = ['--port', '0', '--data-dir', directory, '--log-level', 'fatal'];
  try {
    const running = await startServer(readConfig(flags, {}), directory);
    await running.close();
    const readOnly = running.warnings.find((w) => w.startsWith('Read-only.'));
    return readOnly === undefined ? 'fine' : { told: readOnly };
  } catch (error) {
    if (error instanceof StoreUnavailable) return { told: error.message };
    throw error;
  }
};

/** A store with a whole evaluation in it, stopped in good order or as a killed server leaves it. */
const stores = async (): Promise<{ stopped: string; killed: string }> => {
  const server = await liveServer();
  await rehearseEvaluation({
    url: server.url,
    signInLink: server.signInLink,
    reviewers: 3,
    seed: SEED,
    pace: 0,
    say: () => undefined,
  });
  const killed = temporaryDirectory();
  cpSync(join(server.directory, 'keys'), join(killed, 'keys'), { recursive: true });
  for (const suffix of ['', '-wal']) {
    cpSync(join(server.directory, `${FILE}${suffix}`), join(killed, `${FILE}${suffix}`));
  }
  // Opening and closing it writes the log into the file.
  const stopped = copyOf(killed);
  expect(await start(stopped)).toBe('fine');
  expect(existsSync(join(stopped, `${FILE}-wal`))).toBe(false);
  return { stopped, killed };
};

const copyOf = (directory: string): string => {
  const copy = join(temporaryDirectory(), 'store');
  mkdirSync(copy);
  cpSync(directory, copy, { recursive: true });
  return copy;
};

/** What differs from the store as it was, table by table; and how many events are gone, or were never there. */
const differences = (before: Map<string, string[]>, file: string) => {
  const now = contents(file);
  const [was, is] = [new Set(before.get('event')), new Set(now.get('event'))];
  const changed = [...before].flatMap(([table, rows]) =>
    JSON.stringify(now.get(table)) === JSON.stringify(rows) ? [] : [table],
  );
  return {
    changed,
    lost: [...was].filter((row) => !is.has(row)).length,
    forged: [...is].filter((row) => !was.has(row)).length,
  };
};

/** The last step may always have been on its way to the disk: then nobody was told that it was saved. */
const LAST_STEP = 2;

const tally = (counts: Map<string, number>, what: string): void =>
  void counts.set(what, (counts.get(what) ?? 0) + 1);

test.each(['stopped', 'killed'] as const)(
  `AU-4, ST-11: ${String(DAMAGES)} damages to a %s store: no record is shown that is not as it was signed`,
  { timeout: 120_000 + DAMAGES * 5000 },
  async (state) => {
    const random = seededRandom(SEED);
    const whole = (await stores())[state];
    const before = contents(join(copyOf(whole), FILE));
    const counts = new Map<string, number>();
    const wrong: string[] = [];
    for (let n = 0; n < DAMAGES; n++) {
      const directory = copyOf(whole);
      const [how = '', damage] = Object.entries(DAMAGE)[n % 4] ?? [];
      const file = join(directory, state === 'killed' ? `${FILE}-wal` : FILE);
      damage?.(file, random);
      const where = `seed ${String(SEED)}, damage ${String(n)} (${how})`;
      const found = await start(directory).catch((error: unknown) => {
        wrong.push(`${where}: not told in words: ${String(error)}`);
        return { told: '' };
      });
      if (found !== 'fine') {
        tally(counts, 'refused or read-only with words');
        continue;
      }
      try {
        const { changed, lost, forged } = differences(before, join(directory, FILE));
        if (forged > 0 || changed.includes('protocol'))
          wrong.push(`${where}: a record was changed`);
        // That a log was cut short, the devices that saw more of it tell: rule WI-1.
        if (lost > LAST_STEP && how !== 'the end is gone') wrong.push(`${where}: events are gone`);
        if (changed.length === 0) tally(counts, 'nothing was changed');
        else if (lost > 0) tally(counts, 'cut back to an earlier step');
        else tally(counts, `unsigned rows changed: ${changed.join(', ')}`);
      } catch {
        tally(counts, 'a page is damaged that nobody has read yet');
      }
    }
    const words = [...counts].map(([what, count]) => `${what}: ${String(count)}`).join('; ');
    process.stdout.write(`damage to a ${state} store, ${String(DAMAGES)} times: ${words}\n`);
    expect(wrong).toEqual([]);
    expect(counts.get('refused or read-only with words') ?? 0).toBeGreaterThan(
      state === 'stopped' ? 0 : -1,
    );
  },
);
