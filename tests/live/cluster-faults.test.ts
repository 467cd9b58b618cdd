import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, onTestFinished, test } from 'vitest';
import { noHaproxy, startBalancer } from '../support/balancer.ts';
import { noOwnPostgres, ownPostgres, startCluster } from '../support/cluster.ts';
import { expectInRecord, openNow, TASKS, typing, type Typist } from '../support/cluster-work.ts';
import { cuttingProxy } from '../support/cutting-proxy.ts';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import { noRedis, REDIS } from '../support/redis.ts';
import { SPECIMEN } from '../support/specimen.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';

const say = (words: string): void => void process.stderr.write(`cluster: ${words}\n`);

/** A panel in a sealed round whose reviewers come in at these addresses and type. */
const atWork = async (at: readonly string[], link: string) => {
  const p = await livePanel(at[0] ?? '', link);
  const seats = [];
  for (const [i, url] of at.entries())
    seats.push(await p.join('reviewer', `R ${String(i)} (invented)`, url));
  await p.moderator.onEvaluation({ type: 'start-round' });
  const typists: Typist[] = [];
  for (const [i, { client, seat }] of seats.entries()) {
    await client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await client.openSheet(1);
    onTestFinished(() => sheet.close());
    typists.push(typing(seat, sheet, i));
  }
  const stop = async (): Promise<void> => void (await Promise.all(typists.map((t) => t.stop())));
  const longest = (): string => (Math.max(...typists.map((t) => t.longest())) / 1000).toFixed(1);
  return { p, seats, typists, stop, longest };
};

const cluster = async (count: number, environment: NodeJS.ProcessEnv) => {
  const made = await startCluster(count, environment);
  onTestFinished(() => made.close());
  return made;
};

type Panel = Awaited<ReturnType<typeof livePanel>>;

/** One more evaluation of the panel, its fit checked and its first round begun. */
const another = async (moderator: SeatClient, panel: string): Promise<string> => {
  const made = await moderator.onPanel(panel, {
    type: 'create-evaluation',
    title: 'Heron 3 again (invented)',
    specimen: SPECIMEN,
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  if (made?.kind !== 'evaluation') throw new Error('no evaluation');
  await moderator.watch(made.evaluation);
  await moderator.onEvaluation(inventedFitCommand(moderator.view.me?.seat ?? ''));
  await moderator.onEvaluation({ type: 'start-round' });
  return made.evaluation;
};

/** One opening while people at both servers type until they are told that the sheet is closed. */
const race = async (
  p: Panel,
  seats: readonly { client: SeatClient; seat: string }[],
  n: number,
) => {
  const moderator = new SeatClient(p.moderator.url, p.moderator.cookie);
  const evaluation = await another(moderator, p.panel);
  const typists: Typist[] = [];
  const leave: (() => void)[] = [() => moderator.close()];
  for (const [i, { client, seat }] of seats.entries()) {
    const at = new SeatClient(client.url, client.cookie);
    await at.watch(evaluation);
    await at.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await at.openSheet(1);
    await sheet.saved();
    leave.push(
      () => at.close(),
      () => sheet.close(),
    );
    typists.push(typing(seat, sheet, i + n, () => !sheet.provider.shouldConnect));
  }
  await pause(60 + ((n * 37) % 80));
  await moderator.onEvaluation({ type: 'open-round', withMissing: true });
  await Promise.all(typists.map((t) => t.done));
  await moderator.until('the opening', (v) => v.head?.stage === 'opened');
  const compared = expectInRecord(moderator, typists);
  for (const go of leave) go();
  return { compared, edits: typists.reduce((sum, t) => sum + t.edits(), 0) };
};

const store = async (): Promise<string> => {
  const database = await freshDatabase();
  onTestFinished(() => database.drop());
  return database.address;
};

describe.skipIf(noPostgres || noRedis)('several servers in trouble', () => {
  test('OP-4, BU-1: Redis is cut: /healthz says so, people at different servers go on, nothing is lost, and it heals', async () => {
    const line = await cuttingProxy(REDIS.replace('redis', 'http'));
    onTestFinished(() => line.close());
    const STORE = await store();
    const { servers } = await cluster(2, { STORE, BUS: line.url.replace('http', 'redis') });
    const urls = servers.map((s) => s.url);
    const bus = async (): Promise<unknown> => {
      const response = await fetch(`${urls[0] ?? ''}/healthz`);
      return ((await response.json()) as { bus: unknown }).bus;
    };
    await expect.poll(bus, { timeout: 5000 }).toBe('connected');
    const work = await atWork(urls, servers[0]?.signInLink ?? '');
    await pause(500);
    line.cut();
    await expect.poll(bus, { timeout: 5000 }).toBe('cut');
    await pause(1000);
    await work.stop();
    await work.seats[1]?.client.onEvaluation({ type: 'finish-sheet' });
    const start = performance.now();
    await openNow(work.p);
    const compared = expectInRecord(work.p.moderator, work.typists);
    const elsewhere = work.seats[1]?.client;
    await elsewhere?.until('the opening', (v) => v.head?.stage === 'opened');
    const late = performance.now() - start;
    line.mend();
    await expect.poll(bus, { timeout: 10_000 }).toBe('connected');
    await work.p.moderator.onEvaluation({ type: 'present-task', task: 'aed-pads' });
    await elsewhere?.until('the task', (v) => v.head?.present === 'aed-pads');
    expect(compared).toBe(2 * TASKS.length);
    say(
      `Redis cut while two typed: ${String(compared)} answers called saved, 0 lost; the opening at the other server ` +
        `after ${(late / 1000).toFixed(1)} s; longest wait for "saved" ${work.longest()} s`,
    );
  });

  test(
    'SE-13, SE-14: openings against edits that arrive at another server: each record holds what was called saved, no more and no less',
    { timeout: 1_800_000 },
    async () => {
      const races = Number(process.env['RACES'] ?? 20);
      const { servers } = await cluster(2, { STORE: await store(), BUS: REDIS });
      const [one, two] = servers.map((s) => s.url);
      const p = await livePanel(one ?? '', servers[0]?.signInLink ?? '');
      const ada = await p.join('reviewer', 'Ada (invented)', two);
      const ben = await p.join('reviewer', 'Ben (invented)', one);
      let [compared, edits] = [0, 0];
      for (let n = 0; n < races; n++) {
        const run = await race(p, [ada, ben], n);
        compared += run.compared;
        edits += run.edits;
      }
      expect(edits).toBeGreaterThan(races);
      say(
        `${String(races)} openings against ${String(edits)} edits: ${String(compared)} answers compared, 0 mixed`,
      );
    },
  );
});

describe.skipIf(noPostgres || noRedis || noOwnPostgres)('a database that crashes', () => {
  test('ST-6: PostgreSQL is ended like in a crash while people type: nothing that was called saved is lost', async () => {
    const postgres = await ownPostgres();
    onTestFinished(() => postgres.stop());
    const { servers } = await cluster(2, { STORE: postgres.address, BUS: REDIS });
    const work = await atWork(
      servers.map((s) => s.url),
      servers[0]?.signInLink ?? '',
    );
    await pause(800);
    await postgres.crash(1500);
    await pause(2500);
    await work.stop();
    await openNow(work.p);
    const compared = expectInRecord(work.p.moderator, work.typists);
    expect(compared).toBe(2 * TASKS.length);
    say(
      `PostgreSQL crashed and started again while two typed: ${String(compared)} answers called saved, 0 lost; longest ` +
        `wait for "saved" ${work.longest()} s`,
    );
  });
});

describe.skipIf(noPostgres || noRedis || noHaproxy)('a rolling restart', () => {
  test('OP-2: three servers are restarted one after the other under load, and no command fails', async () => {
    const { servers, ports, start } = await cluster(3, {
      STORE: await store(),
      BUS: REDIS,
      DRAIN: '2',
    });
    const balancer = await startBalancer(ports);
    onTestFinished(() => balancer.stop());
    const work = await atWork(
      [0, 1, 2, 3].map(() => balancer.url),
      servers[0]?.signInLink ?? '',
    );
    let going = true;
    let [commands, longest] = [0, 0];
    const commanding = (async () => {
      for (let n = 0; going; n++) {
        const before = performance.now();
        await work.p.moderator.onEvaluation({ type: 'present-task', task: TASKS[n % 4] ?? null });
        longest = Math.max(longest, performance.now() - before);
        commands++;
        await pause(50);
      }
    })();
    for (let i = 0; i < 3; i++) {
      await servers[i]?.stop();
      await start(i);
      // The balancer takes it back after two good answers, half a second apart.
      await pause(1500);
    }
    going = false;
    await commanding;
    await work.stop();
    await openNow(work.p);
    const compared = expectInRecord(work.p.moderator, work.typists);
    expect(compared).toBe(4 * TASKS.length);
    say(
      `rolling restart of three: ${String(commands)} commands, 0 failed, longest ${(longest / 1000).toFixed(1)} s; ` +
        `${String(compared)} answers called saved, 0 lost, longest wait ${work.longest()} s`,
    );
  });
});
