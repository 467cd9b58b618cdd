import { setTimeout as pause } from 'node:timers/promises';
import * as decoding from 'lib0/decoding';
import * as Y from 'yjs';
import { SHEET_ROOT } from '../../shared-types/src/index.ts';
import { openDoor, SheetWriter } from './document-door.ts';
import type { Play } from './family.ts';
import { syncFrame } from './payload.ts';
import { sealedRound } from './sequence.ts';
import { TASK, TASKS } from './world.ts';

type Act = (play: Play) => Promise<void>;

const ANSWER = `${TASK}/answer`;

/** The sheet as the server has it now. */
const sheetNow = async (
  client: Parameters<typeof openDoor>[0],
  evaluation: string,
  document: string,
): Promise<Record<string, unknown>> => {
  const door = await openDoor(client, evaluation, document);
  await door.read();
  door.close();
  const doc = new Y.Doc();
  for (const frame of door.received) {
    const decoder = decoding.createDecoder(frame);
    if (decoding.readVarUint(decoder) === 0 && decoding.readVarUint(decoder) === 1)
      Y.applyUpdate(doc, decoding.readVarUint8Array(decoder));
  }
  return doc.getMap(SHEET_ROOT).toJSON();
};

/** A device that was put back to an earlier state writes under counts that it has used before. */
export const earlier: Act = async (play) => {
  const { world, judged } = play;
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  const device = (): SheetWriter => new SheetWriter(ada, evaluation, sheets.ada, 77_007);
  const now = device();
  await now.write({ [ANSWER]: 3 });
  await now.write({ [ANSWER]: 4 });
  const told = await device().write({ [ANSWER]: 2 });
  const { [ANSWER]: value } = await sheetNow(ada, evaluation, sheets.ada);
  ada.close();
  ben.close();
  judged.answers.push(String(told));
  judged.observe('current-value-4', value === 4, `the sheet holds ${String(value)}`);
  judged.observe('error-says-current-version', told !== 'saved', `answered ${String(told)}`);
  judged.outcome =
    told !== 'saved' ? 'rejected-with-clear-error' : value === 4 ? 'ignored' : undefined;
};

/** An edit that builds on 999 edits of which the server has none. */
export const ahead: Act = async (play) => {
  const { world, judged } = play;
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  const doc = new Y.Doc();
  doc.clientID = 77_008;
  for (let i = 0; i < 999; i++) doc.getMap(SHEET_ROOT).set(ANSWER, i % 5);
  const known = Y.encodeStateVector(doc);
  doc.getMap(SHEET_ROOT).set(ANSWER, 3);
  const writer = new SheetWriter(ada, evaluation, sheets.ada, 77_008);
  const told = await writer.send(Y.encodeStateAsUpdate(doc, known));
  const after = await sheetNow(ada, evaluation, sheets.ada);
  ada.close();
  ben.close();
  judged.answers.push(String(told));
  judged.observe('no-write', !(ANSWER in after), JSON.stringify(after));
  judged.outcome = told === 'saved' ? 'accepted-unchanged' : 'rejected-with-clear-error';
};

/** Questions a second that a connection may ask, and how many at once. */
const ASKED_AT_ONCE = 50;
const BETWEEN_MS = 45;

/** Asks for a full sheet again and again and never reads the answers: they pile up on the server. */
export const slowReader: Act = async (play) => {
  const { world, judged } = play;
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  const writer = new SheetWriter(ben, evaluation, sheets.ben, 77_009);
  for (let i = 0; i < TASKS.length; i += 2) {
    const note = '読'.repeat(2000);
    const two = TASKS.slice(i, i + 2).map((task) => [`${task}/note`, note]);
    const told = await writer.write(Object.fromEntries(two));
    if (told !== 'saved') throw new Error(`the sheet could not be filled: ${String(told)}`);
  }
  const door = await openDoor(ben, evaluation, sheets.ben);
  door.socket.pause();
  for (let i = 0; i < 200; i++) {
    door.send(syncFrame(0, Uint8Array.of(0)));
    if (i >= ASKED_AT_ONCE) await pause(BETWEEN_MS);
  }
  door.socket.resume();
  const { code, reason } = await door.closed;
  ada.close();
  ben.close();
  const read = door.received.reduce((sum, frame) => sum + frame.length, 0);
  judged.answers.push(reason);
  judged.observe(
    'slow-reader-cut-when-buffer>4MiB',
    code === 4500,
    `closed ${String(code)} ${reason} after ${String(Math.round(read / 1e6))} MB`,
  );
  judged.outcome = 'rejected-with-clear-error';
};
