import { randomBytes } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import { io, type Socket } from 'socket.io-client';
import { expect, onTestFinished } from 'vitest';
import type { CommandAnswer } from '../../shared-types/src/index.ts';
import { SHEET_ROOT, sheetKey } from '../../shared-types/src/index.ts';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { livePanel } from './live-panel.ts';
import type { Program } from './program.ts';

const TASKS = ['chest-access', 'aed-pads', 'torso-removal'];

/** What the server acknowledged: per seat and task the highest number, and ids of commands. */
interface Journal {
  edits: Map<string, number>;
  commands: Map<string, CommandAnswer>;
  unanswered: Set<string>;
}

const invite = (panel: string, id: string) => ({
  id,
  clientAt: '2026-03-02T09:00:00.000Z',
  on: 'panel',
  panel,
  command: { type: 'invite', role: 'observer', label: '', by: 'link', until: null, seat: null },
});

const commandSocket = async (client: SeatClient): Promise<Socket> => {
  const socket = io(client.url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: { cookie: client.cookie },
    reconnection: false,
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', resolve);
    socket.once('connect_error', reject);
  });
  return socket;
};

/** Sends commands one after the other until the server is gone; those without an answer stay noted. */
const sendCommands = async (client: SeatClient, panel: string, journal: Journal, gone: Gone) => {
  const socket = await commandSocket(client);
  const ask = async (id: string): Promise<void> => {
    journal.unanswered.add(id);
    // Rejects when the connection breaks: nobody knows then whether the command arrived.
    const sent = socket.emitWithAck('command', invite(panel, id)).catch(() => undefined);
    const answer = (await Promise.race([sent, gone.done])) as CommandAnswer | undefined;
    if (answer === undefined) return;
    journal.unanswered.delete(id);
    journal.commands.set(id, answer);
    // A socket may send 30 messages a second.
    await pause(40);
  };
  for (const id of [...journal.unanswered]) await ask(id);
  while (!gone.now && socket.connected) await ask(`cm_${randomBytes(16).toString('base64url')}`);
};

interface Gone {
  now: boolean;
  done: Promise<undefined>;
}

/** Writes rising numbers into one sheet and notes each that the server called saved. */
const writeSheet = async (client: SeatClient, seat: string, journal: Journal, gone: Gone) => {
  const sheet: OpenSheet = await client.openSheet(1);
  // Written before the first sync, a value is concurrent with what the sheet holds and may give way to it.
  await Promise.race([sheet.saved(), gone.done]);
  let n = Math.max(0, ...TASKS.map((t) => journal.edits.get(`${seat} ${t}`) ?? 0));
  while (!gone.now) {
    n++;
    const task = TASKS[n % TASKS.length] ?? '';
    sheet.set(task, { note: `n ${String(n)}` });
    const saved = await Promise.race([sheet.saved().then(() => true), gone.done]);
    if (saved === undefined) break;
    journal.edits.set(`${seat} ${task}`, n);
    await pause(35);
  }
  sheet.close();
};

/** What a device of its own finds on the server for a seat. */
const readSheet = async (client: SeatClient): Promise<Map<string, number>> => {
  const sheet = await client.openSheet(1);
  await sheet.saved();
  const map = sheet.doc.getMap(SHEET_ROOT);
  const found = TASKS.map((task): [string, number] => {
    const value = map.get(sheetKey(task, 'note'));
    return [task, typeof value === 'string' ? Number(value.slice(2)) : 0];
  });
  sheet.close();
  return new Map(found);
};

/** Who works on a panel while its server is in trouble. */
export interface Crew {
  moderator: SeatClient;
  panel: string;
  seats: { client: SeatClient; seat: string }[];
  journal: Journal;
}

/** A panel in a sealed round, with two reviewers at work. */
export const crewOf = async (program: Program): Promise<Crew> => {
  const p = await livePanel(program.url, program.signInLink ?? '');
  const seats = [await p.join('reviewer', 'Ada'), await p.join('reviewer', 'Ben')];
  await p.moderator.onEvaluation({ type: 'start-round' });
  for (const { client } of seats) await client.until('the round', (v) => v.me?.sheets.length === 1);
  const journal: Journal = { edits: new Map(), commands: new Map(), unanswered: new Set() };
  return { moderator: p.moderator, panel: p.panel, seats, journal };
};

/** Everybody at work at once; `stop` is called when the server is gone. */
export const startLoad = (crew: Crew): { stop: () => Promise<void> } => {
  let tell: () => void = () => undefined;
  const done = new Promise<undefined>((resolve) => (tell = () => resolve(undefined)));
  const gone: Gone = { now: false, done };
  const load = [
    ...crew.seats.map(({ client, seat }) => writeSheet(client, seat, crew.journal, gone)),
    sendCommands(crew.moderator, crew.panel, crew.journal, gone),
  ];
  const settled = Promise.allSettled(load);
  return {
    stop: async () => {
      gone.now = true;
      tell();
      await settled;
    },
  };
};

/** Every acknowledged edit stands on the server, and the newest commands that were accepted still have their answers. */
export const expectKept = async (crew: Crew, where: string): Promise<void> => {
  for (const { client, seat } of crew.seats) {
    const found = await readSheet(client);
    for (const task of TASKS) {
      const acknowledged = crew.journal.edits.get(`${seat} ${task}`) ?? 0;
      expect(found.get(task), `${where}, ${task}`).toBeGreaterThanOrEqual(acknowledged);
    }
  }
  const socket = await commandSocket(crew.moderator);
  const kept = [...crew.journal.commands].filter(([, answer]) => answer.ok);
  for (const [id, answer] of kept.slice(-3)) {
    const again = (await socket.emitWithAck('command', invite(crew.panel, id))) as CommandAnswer;
    expect(again, where).toEqual({ ok: true, seq: answer.ok ? answer.seq : -1 });
  }
  socket.close();
};
