import { cpSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { freePort, noHaproxy, startBalancer } from '../support/balancer.ts';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';
import { noRedis, REDIS } from '../support/redis.ts';

if (noHaproxy) process.stderr.write('BALANCER TESTS SKIPPED: there is no haproxy.\n');
const TASKS = ['chest-access', 'aed-pads', 'torso-removal', 'airway-open'];

describe.skipIf(noPostgres || noRedis || noHaproxy)('three servers behind a balancer', () => {
  let database: Awaited<ReturnType<typeof freshDatabase>>;
  let balancer: Awaited<ReturnType<typeof startBalancer>>;
  const directories: string[] = [];
  const ports: number[] = [];
  const servers: Program[] = [];

  const start = (i: number): Promise<Program> =>
    startProgram(directories[i] ?? '', ports[i], { STORE: database.address, BUS: REDIS });

  beforeAll(async () => {
    database = await freshDatabase();
    for (let i = 0; i < 3; i++) {
      const directory = freshDirectory();
      if (i > 0) {
        cpSync(`${directories[0] ?? ''}/keys`, `${directory}/keys`, { recursive: true });
      }
      directories.push(directory);
      ports.push(await freePort());
      servers.push(await start(i));
    }
    balancer = await startBalancer(ports);
  });

  afterAll(async () => {
    balancer.stop();
    for (const server of servers) await server.stop('SIGKILL');
    directories.forEach(removeDirectory);
    await database.drop();
  });

  /** Six reviewers in a sealed round, each typing until they are told to stop; every acknowledged answer is noted. */
  const atWork = async (link: string) => {
    const p = await livePanel(balancer.url, link);
    const seats = [];
    for (let i = 0; i < 6; i++)
      seats.push(await p.join('reviewer', `Reviewer ${String(i)} (invented)`));
    await p.moderator.onEvaluation({ type: 'start-round' });
    let working = true;
    const saved = new Map<string, Map<string, number>>();
    let longest = 0;
    const work = seats.map(async ({ client, seat }, i) => {
      await client.until('the round', (v) => v.me?.sheets.length === 1);
      const sheet = await client.openSheet(1);
      onTestFinished(() => sheet.close());
      const own = new Map<string, number>();
      saved.set(seat, own);
      for (let n = 0; working; n++) {
        const task = TASKS[n % TASKS.length] ?? '';
        const answer = (n + i) % 6;
        const before = performance.now();
        sheet.set(task, { answer });
        await sheet.saved();
        longest = Math.max(longest, performance.now() - before);
        own.set(task, answer);
      }
    });
    return {
      p,
      seats,
      saved,
      longest: () => longest,
      stop: async () => {
        working = false;
        await Promise.all(work);
      },
    };
  };

  type Work = Awaited<ReturnType<typeof atWork>>;

  /** Opens the round and compares the record with what was acknowledged. */
  const openAndCompare = async ({ p, saved }: Work): Promise<number> => {
    await p.moderator.watch(p.evaluation);
    await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
    await p.moderator.until('the opening', (v) => v.head?.stage === 'opened');
    let compared = 0;
    for (const [seat, own] of saved) {
      for (const [task, answer] of own) {
        const rating = p.moderator.view.tasks?.[task]?.ratings.find((r) => r.seat === seat);
        expect(rating?.rating.step, `${seat} ${task}`).toBe(answer);
        compared++;
      }
    }
    return compared;
  };

  const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

  test('BU-2: one is killed in the middle of a round: nothing that was called saved is lost, and people go on elsewhere', async () => {
    const work = await atWork(servers[0]?.signInLink ?? '');
    await pause(2000);
    await servers[1]?.stop('SIGKILL');
    await pause(6000);
    servers[1] = await start(1);
    await work.stop();
    const compared = await openAndCompare(work);
    expect(compared).toBe(6 * TASKS.length);
    process.stderr.write(
      `balancer: a server killed under load: ${String(compared)} acknowledged answers, 0 lost; ` +
        `longest wait for "saved" ${(work.longest() / 1000).toFixed(1)} s\n`,
    );
  });
});
