import { cpSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { livePanel } from '../support/live-panel.ts';
import { freshDatabase, noPostgres } from '../support/postgres.ts';
import {
  freshDirectory,
  removeDirectory,
  runProgram,
  startProgram,
  type Program,
} from '../support/program.ts';
import { noRedis, REDIS } from '../support/redis.ts';

describe.skipIf(noPostgres || noRedis)('two processes on one store', () => {
  let database: Awaited<ReturnType<typeof freshDatabase>>;
  const directories: string[] = [];
  let one: Program;
  let two: Program;

  const start = (directory: string): Promise<Program> =>
    startProgram(directory, 0, { STORE: database.address, BUS: REDIS });

  beforeAll(async () => {
    database = await freshDatabase();
    directories.push(freshDirectory());
    one = await start(directories[0] ?? '');
    two = await start(withKeys());
  });

  /** The data directory of one more server: its own, with the keys of the first. */
  const withKeys = (): string => {
    const directory = freshDirectory();
    directories.push(directory);
    cpSync(`${directories[0] ?? ''}/keys`, `${directory}/keys`, { recursive: true });
    return directory;
  };

  /** A further way in for the lead, from a server that asks for one at its start. */
  const newLink = async (): Promise<string> => {
    const directory = withKeys();
    const asking = await startProgram(directory, 0, { STORE: database.address }, [
      '--new-sign-in-link',
    ]);
    await asking.stop();
    return asking.signInLink ?? '';
  };

  afterAll(async () => {
    await one.stop();
    await two.stop();
    directories.forEach(removeDirectory);
    await database.drop();
  });

  test('BU-2: a panel spread over both rates sealed, opens, settles and locks as one', async () => {
    const p = await livePanel(one.url, one.signInLink ?? '');
    const ada = await p.join('reviewer', 'Ada (invented)', one.url);
    const ben = await p.join('reviewer', 'Ben (invented)', two.url, 'link');
    const cy = await p.join('reviewer', 'Cy (invented)', two.url);
    const wall = await p.join('wall', '', two.url);
    await p.moderator.onEvaluation({ type: 'start-round' });
    for (const [i, { client }] of [ada, ben, cy].entries()) {
      await client.until('the round', (v) => v.me?.sheets.length === 1);
      const sheet = await client.openSheet(1);
      sheet.set('chest-access', { answer: i });
      sheet.set('aed-pads', { answer: 2 });
      await sheet.saved();
      await client.onEvaluation({ type: 'finish-sheet' });
    }
    await p.moderator.until('all finished', (v) => v.allFinished === true);
    await p.moderator.until('all online', (v) => v.seats?.every((s) => s.online) === true);
    await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
    for (const { client } of [ada, ben, cy, wall]) {
      await client.until('the opening', (v) => v.head?.stage === 'opened');
      const chest = client.view.tasks?.['chest-access'];
      expect(chest?.ratings.map((r) => r.rating.step)).toEqual([0, 1, 2]);
    }
    await p.moderator.onEvaluation({ type: 'adopt-undisputed' });
    await p.moderator.onEvaluation({ type: 'lock', meaning: 'We stand by this.' });
    await wall.client.until('the lock', (v) => v.head?.stage === 'locked');
    const response = await fetch(`${two.url}/api/evaluations/${p.evaluation}/bundle`, {
      headers: { cookie: ben.client.cookie },
    });
    const checked = verifyBundle(new Uint8Array(await response.arrayBuffer()), { seen: [] });
    expect(checked.findings).toEqual([]);
    expect(checked.ok).toBe(true);
  });

  test('SY-11: two devices of one seat, each at another process, show each other’s edits and end equal', async () => {
    const p = await livePanel(one.url, await newLink());
    const ada = await p.join('reviewer', 'Ada (invented)', one.url);
    await p.moderator.onEvaluation({ type: 'start-round' });
    await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
    const elsewhere = new SeatClient(two.url, ada.client.cookie);
    onTestFinished(() => elsewhere.close());
    await elsewhere.watch(p.evaluation);
    const phone = await ada.client.openSheet(1);
    const tablet = await elsewhere.openSheet(1);
    const tasks = ['chest-access', 'aed-pads', 'torso-removal'];
    for (let turn = 0; turn < 30; turn++) {
      const [sheet, other] = turn % 2 === 0 ? [phone, tablet] : [tablet, phone];
      sheet.set(tasks[turn % 3] ?? '', { answer: turn % 6 });
      await sheet.saved();
      await expect
        .poll(() => other.doc.getMap('r').get(`${tasks[turn % 3] ?? ''}/answer`), { timeout: 5000 })
        .toBe(turn % 6);
    }
    expect(phone.doc.getMap('r').toJSON()).toEqual(tablet.doc.getMap('r').toJSON());
  });

  test('AC-19: an organisation added at one process is served by the other at once, and sees nothing of the first', async () => {
    const name = 'Rink (invented)';
    const added = await runProgram(['workspace', 'add', name, '--data-dir', directories[0] ?? '']);
    expect(added.code).toBe(0);
    const secret = /#(\S+)/u.exec(added.out)?.[1] ?? '';
    const p = await livePanel(two.url, `${two.url}/sign-in#${secret}`);
    const dee = await p.join('reviewer', 'Dee (invented)', one.url);
    await p.moderator.onEvaluation({ type: 'start-round' });
    await dee.client.until('the round', (v) => v.me?.sheets.length === 1);
    const others = await livePanel(one.url, await newLink());
    const foreign = await fetch(`${two.url}/api/evaluations/${others.evaluation}/bundle`, {
      headers: { cookie: dee.client.cookie },
    });
    expect(foreign.status).toBe(404);
  });

  test('BU-1: a process that no notice reaches hears of everything by looking into the store, and is heard', async () => {
    const deaf = await startProgram(withKeys(), 0, { STORE: database.address });
    onTestFinished(() => deaf.stop());
    const p = await livePanel(one.url, await newLink());
    const ada = await p.join('reviewer', 'Ada (invented)', deaf.url);
    await p.moderator.onEvaluation({ type: 'start-round' });
    await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await ada.client.openSheet(1);
    sheet.set('chest-access', { answer: 3 });
    await sheet.saved();
    await ada.client.onEvaluation({ type: 'finish-sheet' });
    await p.moderator.until('all finished', (v) => v.allFinished === true);
    await p.moderator.onEvaluation({ type: 'open-round', withMissing: true });
    await ada.client.until('the opening', (v) => v.head?.stage === 'opened');
    expect(ada.client.view.tasks?.['chest-access']?.ratings.map((r) => r.rating.step)).toEqual([3]);
  });

  test('AC-2: a seat that is revoked at one process is out at the other within two seconds', async () => {
    const p = await livePanel(one.url, await newLink());
    const ben = await p.join('reviewer', 'Ben (invented)', two.url);
    await p.moderator.onPanel(p.panel, { type: 'revoke-seat', seat: ben.seat, reason: 'A test.' });
    await expect.poll(() => ben.client.ended, { timeout: 2000 }).toBe('revoked');
  });
});
