import * as decoding from 'lib0/decoding';
import { EMPTY_STEP_2, openDoor, type DocumentDoor } from './document-door.ts';
import type { Change, Family, Play } from './family.ts';

/** Frames of presence: type 1 of the y-websocket protocol. */
const presence = (door: DocumentDoor): Uint8Array[] =>
  door.received.filter((f) => decoding.readVarUint(decoding.createDecoder(f)) === 1);

const watched = new WeakMap<Play, Uint8Array[]>();

/** Ada sends on the shared board; Ben, on the same board, must hear nothing of it. */
const act = async (play: Play): Promise<void> => {
  const { world, judged, hostile, payload } = play;
  const { ada, ben } = world.people;
  const board = ada.client.view.me?.board ?? '';
  const listener = await openDoor(ben.client, world.sealed, board);
  const door = await openDoor(ada.client, world.sealed, board);
  door.send(EMPTY_STEP_2);
  await door.settled(1);
  for (let i = 0; i < (hostile.meta?.repeat ?? 1); i++) door.send(new Uint8Array(payload));
  await door.read();
  const code = door.code();
  judged.answers.push(...door.received.map((f) => Buffer.from(f).toString('latin1')));
  judged.outcome = code === undefined ? 'ignored' : 'rejected-with-clear-error';
  // A question of the listener's own is answered after whatever was relayed before.
  await listener.read();
  watched.set(play, [...presence(listener), ...presence(door)]);
  judged.observe(
    'others-still-present',
    listener.code() === undefined,
    `closed ${String(listener.code())}`,
  );
  door.close();
  listener.close();
};

const check = (play: Play, change: Change): void => {
  const { judged, world } = play;
  const heard = watched.get(play) ?? [];
  const none = heard.length === 0;
  const seen = `${String(heard.length)} frames of presence`;
  for (const name of [
    'at-most-one-entry-per-socket',
    'entry-removed-on-disconnect',
    'no-rating-in-presence',
    'name-no-bidi-controls',
  ]) {
    judged.observe(name, none, seen);
  }
  if (judged.wants('inert-render'))
    judged.observe('inert-render', none, 'nothing is relayed that could be shown');
  const names = change.after.people
    .filter((p) => p.seat === world.people.ada.seat)
    .map((p) => p.name);
  judged.observe('name-and-role-come-from-the-server', none && names[0] === 'Ada', names.join());
};

export const awareness: Family = { act, check };
