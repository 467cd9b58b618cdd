import { spawnSync } from 'node:child_process';
import {
  closeSync,
  cpSync,
  existsSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { askControl, controlPath } from '../../server/src/cli/control.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { Family, Play } from './family.ts';
import { runCommand } from './program.ts';
import { lockable, LOCK, order } from './sequence.ts';
import { startChild, type ServerChild } from './server-child.ts';
import { takeSnapshot } from './snapshot.ts';
import { openPanelDoor } from './socketio.ts';
import { openWorld } from './world.ts';

const fresh = (): string => mkdtempSync(join(tmpdir(), 'unhindered-hostile-'));
const storeOf = (directory: string): string => join(directory, 'unhindered.sqlite');

const makePanel = (lead: SeatClient, title: string) =>
  lead.send({
    on: 'workspace',
    command: { type: 'create-panel', title, occasion: '', moderatorName: 'Mo' },
  });

/** A started server with a lead who has made a panel; what it acknowledged must be found again. */
const started = async (directory: string): Promise<{ server: ServerChild; lead: SeatClient }> => {
  const server = await startChild(directory);
  if (server.url === undefined) throw new Error(server.err());
  const lead = await SeatClient.signIn(server.url, server.signInLink);
  const made = await makePanel(lead, 'Kept');
  if (!made.ok) throw new Error(made.rejection.message);
  return { server, lead };
};

let template: Promise<string> | undefined;
/** A directory as a server that ended cleanly leaves it. */
const stopped = async (): Promise<string> => {
  template ??= (async () => {
    const directory = fresh();
    const { server, lead } = await started(directory);
    for (let i = 0; i < 12; i++) await makePanel(lead, `Panel ${String(i)}`);
    lead.close();
    await server.stop();
    return directory;
  })();
  const copy = fresh();
  cpSync(await template, copy, { recursive: true, filter: (path) => !path.endsWith('.sock') });
  return copy;
};

/**
 * Where the fault lies and the library's code for it are for the person at the server's own terminal, and for nobody else.
 * Starts on a directory and tells how it went: refused, read-only, or serving. */
const tryStart = async (
  play: Play,
  directory: string,
): Promise<{ words: string; state: 'refused' | 'read-only' | 'serving' }> => {
  const server = await startChild(directory);
  const words = server.err();
  const readOnly = words.includes('Read-only.');
  const state = server.url === undefined ? 'refused' : readOnly ? 'read-only' : 'serving';
  await server.stop();
  play.judged.answers.push(
    words.replaceAll(directory, 'DIRECTORY').replaceAll(/\(SQLITE_\w+\)/gu, ''),
  );
  const clear = state !== 'serving' && /\w+ \w+ \w+/u.test(words) && !/\n\s+at /u.test(words);
  play.judged.outcome = clear
    ? 'rejected-with-clear-error'
    : state === 'serving'
      ? 'accepted-unchanged'
      : undefined;
  return { words, state };
};

const corruptPage: Act = async (play) => {
  const directory = await stopped();
  const file = storeOf(directory);
  const size = readFileSync(file).readUInt16BE(16);
  const handle = openSync(file, 'r+');
  writeSync(handle, Buffer.alloc(16, 0xa5), 0, 16, 2 * size);
  closeSync(handle);
  const before = readFileSync(file);
  const { words, state } = await tryStart(play, directory);
  play.judged.observe('start-refused-or-read-only', state !== 'serving', words);
  play.judged.observe('damage-named', words.includes('is damaged'), words);
  play.judged.observe(
    'no-silent-repair',
    readFileSync(file).equals(before),
    'the file is as it was',
  );
};

const editedRow: Act = async (play) => {
  const directory = await stopped();
  const db = new Database(storeOf(directory));
  db.exec('DROP TRIGGER event_never_changes');
  const changed = db
    .prepare(`UPDATE event SET text = replace(text, '"title":"Kept"', '"title":"Bent"')`)
    .run();
  if (changed.changes === 0) throw new Error('nothing was edited');
  db.close();
  const { words, state } = await tryStart(play, directory);
  const named = state !== 'serving' && /log pn_\S+, event \d+/u.test(words);
  const target = fresh();
  cpSync(join(directory, 'keys'), join(target, 'keys'), { recursive: true });
  const restored = await runCommand(['restore', storeOf(directory), '--data-dir', target]);
  play.judged.observe(
    'detected-at-start-and-by-verify',
    named && restored.code === 1,
    words + restored.err,
  );
  play.judged.observe(
    'detected-against-signed-checkpoint',
    named && /were changed/u.test(words),
    words,
  );
};

const second: Act = async (play) => {
  const directory = fresh();
  const { server, lead } = await started(directory);
  const { words, state } = await tryStart(play, directory);
  play.judged.observe(
    'second-exits-with-clear-error',
    state === 'refused' && words.includes('Another server'),
    words,
  );
  const made = await makePanel(lead, 'Still here');
  play.judged.observe('first-unaffected', made.ok, JSON.stringify(made));
  lead.close();
  await server.stop();
};

/** A small disk of its own; undefined where this machine lets nobody make one. */
const smallDisk = (mebibytes: number): string | undefined => {
  const place = fresh();
  const size = `size=${String(mebibytes)}m`;
  return spawnSync('mount', ['-t', 'tmpfs', '-o', size, 'tmpfs', place]).status === 0
    ? place
    : undefined;
};
const noDisk = (play: Play): void => {
  for (const name of play.hostile.asserts)
    play.judged.unobserved(name, 'no right to mount a small disk here');
  const [expected] = play.hostile.expect;
  play.judged.outcome = expected;
};
const remove = (place: string): void => {
  spawnSync('umount', [place]);
  rmSync(place, { recursive: true, force: true });
};

const full: Act = async (play) => {
  const { judged } = play;
  const directory = smallDisk(8);
  if (directory === undefined) return noDisk(play);
  const { server, lead } = await started(directory);
  const ballast = join(directory, 'ballast');
  // As much as there is room for, but a little.
  for (let left = 7000; left > 0; left -= 100) {
    try {
      writeFileSync(ballast, Buffer.alloc(left * 1024));
      break;
    } catch {
      rmSync(ballast, { force: true });
    }
  }
  let kept = 0;
  let refusal: string | undefined;
  for (let i = 0; i < 2000 && refusal === undefined; i++) {
    const made = await makePanel(lead, `Filling ${String(i)}`);
    if (made.ok) kept++;
    else refusal = JSON.stringify(made.rejection);
  }
  judged.answers.push(refusal ?? '');
  judged.observe(
    'users-told',
    refusal !== undefined && /\w+ \w+/u.test(refusal),
    refusal ?? 'never refused',
  );
  rmSync(ballast);
  const after = await makePanel(lead, 'After');
  const says = after.ok || /start it again|restart|Stop the server/u.test(JSON.stringify(after));
  judged.observe('recovers-without-restart-or-says-so', says, JSON.stringify(after));
  const stored = [...(await takeSnapshot(directory)).events.keys()].filter((log) =>
    log.startsWith('pn_'),
  ).length;
  // The panel of the start, those acknowledged while it filled, and the one after.
  const expected = 1 + kept + (after.ok ? 1 : 0);
  judged.observe(
    'no-ack-without-write',
    stored === expected,
    `${String(stored)} stored, ${String(expected)} acknowledged`,
  );
  judged.outcome = refusal === undefined ? 'accepted-unchanged' : 'rejected-with-clear-error';
  lead.close();
  await server.stop();
  remove(directory);
};

const readOnly: Act = async (play) => {
  const directory = smallDisk(16);
  if (directory === undefined) return noDisk(play);
  cpSync(await stopped(), directory, { recursive: true });
  spawnSync('mount', ['-o', 'remount,ro', directory]);
  const { words, state } = await tryStart(play, directory);
  play.judged.observe('read-only-mode-or-refusal', state !== 'serving', words);
  play.judged.observe('no-ack', state !== 'serving', words);
  remove(directory);
};

/** The jumps of the clock on record, once there is one or after ten looks. */
const jumpsOnRecord = async (directory: string) => {
  for (let look = 1; ; look++) {
    const snapshot = await takeSnapshot(directory);
    const jumps = [...snapshot.events.values()].flat().filter((e) => e.type === 'clock-jumped');
    if (jumps.length > 0 || look === 10) return { snapshot, jumps };
  }
};

const clock: Act = async (play) => {
  const { judged, hostile, payload } = play;
  const { steps } = JSON.parse(payload.toString('utf8')) as { steps: { clock?: number }[] };
  const seconds = steps[0]?.clock ?? 0;
  const directory = fresh();
  const { server, lead } = await started(directory);
  await server.setClock(seconds);
  const answers = [];
  for (let i = 0; i < 5; i++) answers.push(await makePanel(lead, `Later ${String(i)}`));
  const kept = answers.every((a) => a.ok);
  judged.observe(
    hostile.title.includes('forward')
      ? 'members-not-thrown-out-mid-session'
      : 'sessions-not-all-expired',
    kept,
    JSON.stringify(answers[0]),
  );
  const { snapshot, jumps } = await jumpsOnRecord(directory);
  const { events, faults } = snapshot;
  const inOrder = [...events.values()].every((log) =>
    log.every((e, i) => e.seq === i && e.at >= (log[i - 1]?.at ?? '')),
  );
  judged.observe('seq-order-kept', inOrder && faults.length === 0, faults.join());
  const by = jumps.map((e) => Math.round(Number(e.data['ms']) / 1000));
  judged.observe('anomaly-recorded', by.length === 1 && by[0] === seconds, `by ${by.join()} s`);
  judged.outcome = kept ? 'accepted-sanitised' : 'rejected-with-clear-error';
  lead.close();
  await server.stop();
};

const lostLog: Act = async (play) => {
  const directory = fresh();
  const { server, lead } = await started(directory);
  await makePanel(lead, 'Only in the log');
  lead.close();
  await server.stop('SIGKILL');
  rmSync(`${storeOf(directory)}-wal`);
  const { words, state } = await tryStart(play, directory);
  const named = state === 'refused' && words.includes('-wal is missing');
  play.judged.observe('loss-detected-by-checkpoint-when-wal-gone', named, words);
};

const rewind: Act = async (play) => {
  const { judged } = play;
  const directory = fresh();
  const { server, lead } = await started(directory);
  const copy = join(fresh(), 'copy.sqlite');
  await askControl(controlPath(directory) ?? '', { do: 'backup', file: copy });
  for (let i = 0; i < 20; i++) await makePanel(lead, `Lost ${String(i)}`);
  lead.close();
  await server.stop();
  const restored = await runCommand(['restore', copy, '--data-dir', directory]);
  judged.answers.push(restored.out.replaceAll(directory, 'DIRECTORY'));
  const said = restored.code === 0 && /Goes back: pn_/u.test(restored.out);
  judged.outcome = said ? 'rejected-with-clear-error' : undefined;
  judged.observe('rewind-detected-against-last-published-checkpoint', said, restored.out);
};

const killedAtLock: Act = async (play) => {
  const { judged } = play;
  const own = await openWorld();
  const evaluation = await lockable(own);
  const door = await openPanelDoor(own.lead);
  door.send(`421["command",${JSON.stringify(order(evaluation, LOCK))}]`);
  await own.server.stop('SIGKILL');
  const again = await startChild(own.directory);
  const { events, faults } = await takeSnapshot(own.directory);
  const locked = events.get(evaluation)?.at(-1)?.type === 'evaluation-locked';
  const whole = faults.length === 0 && again.url !== undefined;
  judged.observe(
    'locked-with-signature-or-not-locked',
    whole,
    `${locked ? 'locked' : 'not locked'} ${faults.join()}`,
  );
  judged.outcome = whole ? 'accepted-unchanged' : undefined;
  await again.stop();
  await own.close();
};

const noKey: Act = async (play) => {
  const directory = await stopped();
  const key = join(directory, 'keys', 'signing.key');
  rmSync(key);
  const { words, state } = await tryStart(play, directory);
  play.judged.observe('no-silent-new-key', !existsSync(key) && state === 'refused', words);
  play.judged.observe('clear-error', words.includes('Put the backed-up file back'), words);
};

type Act = (play: Play) => Promise<void>;
const ACTS: [title: string, act: Act][] = [
  ['corrupt page', corruptPage],
  ['event row edited', editedRow],
  ['event and its leaf hash', editedRow],
  ['second process', second],
  ['disk full', full],
  ['read-only', readOnly],
  ['clock', clock],
  ['WAL file', lostLog],
  ['old backup', rewind],
  ['kill -9', killedAtLock],
  ['signing key', noKey],
];

const act = async (play: Play): Promise<void> => {
  const own = ACTS.find(([title]) => play.hostile.title.startsWith(title))?.[1];
  if (!own) throw new Error(`no act for ${play.hostile.title}`);
  await own(play);
};

/** Faults of a disk, each on a server of its own beside the running one. */
export const storage: Family = { setsStage: true, act };
