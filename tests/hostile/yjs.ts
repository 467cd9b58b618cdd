import * as decoding from 'lib0/decoding';
import * as Y from 'yjs';
import { SHEET_ROOT } from '../../shared-types/src/index.ts';
import { EMPTY_STEP_2, openDoor, type DocumentDoor } from './document-door.ts';
import type { Change, Family, Play } from './family.ts';
import { syncFrame } from './payload.ts';
import { ADA_CLIENT, adaWrites } from './sheets.ts';
import { TASK } from './world.ts';

/** Names of the corpus and what a sheet calls the same: root map, field of a note, field of a rating. */
const FIELDS: readonly [theirs: string, ours: string][] = [
  ['draft', SHEET_ROOT],
  ['myRatings', SHEET_ROOT],
  ['note', `${TASK}/note`],
  ['cpr-hand-placement', `${TASK}/answer`],
  ['airway', `${TASK}/answer`],
  ['pulse', `${TASK}/answer`],
];

const named = (text: string): Buffer => Buffer.concat([Buffer.of(text.length), Buffer.from(text)]);

/** The update of a frame with the corpus' field names turned into ours; undefined when there is nothing to turn. */
const translated = (frame: Buffer): Uint8Array | undefined => {
  try {
    const decoder = decoding.createDecoder(frame);
    if (decoding.readVarUint(decoder) !== 0 || decoding.readVarUint(decoder) !== 2)
      return undefined;
    const update = Buffer.from(decoding.readVarUint8Array(decoder));
    let text = update.toString('latin1');
    for (const [theirs, ours] of FIELDS) {
      text = text.replaceAll(named(theirs).toString('latin1'), named(ours).toString('latin1'));
    }
    const turned = Buffer.from(text, 'latin1');
    return turned.equals(update) ? undefined : turned;
  } catch {
    return undefined;
  }
};

/** What the server sent of a document, applied to an empty one. */
const docOf = (frames: readonly Uint8Array[]): Y.Doc => {
  const doc = new Y.Doc();
  for (const frame of frames) {
    const decoder = decoding.createDecoder(frame);
    if (decoding.readVarUint(decoder) !== 0) continue;
    const step = decoding.readVarUint(decoder);
    if (step > 0) Y.applyUpdate(doc, decoding.readVarUint8Array(decoder));
  }
  return doc;
};

const outcomeOf = (
  door: DocumentDoor,
  wrote: boolean,
): 'rejected-with-clear-error' | 'ignored' | 'accepted-unchanged' => {
  if (door.code() !== undefined) return 'rejected-with-clear-error';
  return wrote ? 'accepted-unchanged' : 'ignored';
};

/** Sends a frame, as often as the case says, on a good connection that is past its first step 2. */
const sendOn = async (play: Play, frame: Uint8Array | string): Promise<DocumentDoor> => {
  const { world, judged, hostile } = play;
  const { document } = await adaWrites(world);
  const door = await openDoor(world.people.ada.client, world.sealed, document);
  door.send(EMPTY_STEP_2);
  await door.settled(1);
  for (let i = 0; i < (hostile.meta?.repeat ?? 1); i++) door.send(frame);
  await door.read();
  judged.answers.push(...door.received.map((f) => Buffer.from(f).toString('latin1')));
  const code = door.code();
  judged.answers.push(code === undefined ? 'open' : (await door.closed).reason);
  judged.observe('closed-1009', code === 1009, `closed ${String(code)}`);
  return door;
};

const control = async (play: Play): Promise<void> => {
  const { judged, hostile, world } = play;
  if (hostile.title.startsWith('valid update')) {
    const writer = await adaWrites(world);
    const wrote = await writer.write({ [`${TASK}/note`]: 'ok' });
    judged.outcome = wrote === 'saved' ? 'accepted-unchanged' : 'rejected-with-clear-error';
    return;
  }
  const door = await sendOn(play, new Uint8Array(play.payload));
  await door.read();
  const answered = door.received.filter((f) => f[0] === 0 && f[1] === 1);
  judged.outcome = answered.length >= 2 ? 'accepted-unchanged' : outcomeOf(door, false);
  const values = docOf(door.received).getMap(SHEET_ROOT).toJSON();
  // Ben's sheet and that of the reviewer next door are other documents.
  const foreign = 'aed-pads/note' in values;
  judged.observe('reply-holds-only-what-the-role-may-see', !foreign, Object.keys(values).join());
  door.close();
};

/** The clock of a client id that the server has seen, used again for other content: on the own sheet and as Ben's. */
const clash = async (play: Play): Promise<void> => {
  const { judged, world } = play;
  const writer = await adaWrites(world);
  await writer.write({ [`${TASK}/note`]: 'first' });
  const stolen = new Y.Doc();
  stolen.clientID = ADA_CLIENT;
  stolen.getMap(SHEET_ROOT).set(`${TASK}/note`, 'stolen');
  const own = await sendOn(play, syncFrame(2, Y.encodeStateAsUpdate(stolen)));
  judged.outcome = outcomeOf(own, false);
  own.close();
};

const act = async (play: Play): Promise<void> => {
  const { judged, hostile, payload } = play;
  if (hostile.class === 'client-id') await clash(play);
  if (hostile.class === 'client-id') return;
  const isControl = hostile.class === 'control' || hostile.title.startsWith('empty state vector');
  if (isControl) return control(play);
  const asText = hostile.meta?.frame === 'text';
  const door = await sendOn(play, asText ? payload.toString('utf8') : new Uint8Array(payload));
  judged.outcome = outcomeOf(door, door.saved() > 1);
  // A stranger's frame is held at arm's length: the sender is told why before the socket closes.
  judged.observe('reverted-on-the-sender', door.code() === 4403, `closed ${String(door.code())}`);
  door.close();
  const turned = translated(payload);
  if (!turned || asText) return;
  const second = await sendOn(play, syncFrame(2, turned));
  if (second.code() === undefined) judged.outcome = outcomeOf(second, second.saved() > 1);
  second.close();
};

const check = (play: Play, change: Change): void => {
  const { judged, hostile } = play;
  const { before, after, documents } = change;
  const touched = documents.filter((d) => before.updates.has(d));
  const owned = ['control', 'client-id'].includes(hostile.class) ? 1 : 0;
  const seen = `${String(documents.length)} documents`;
  judged.observe(
    'doc-of-others-unchanged',
    touched.length <= owned && change.events.length === 0,
    seen,
  );
  const same = documents.length === 0 && change.events.length === 0;
  judged.observe('consensus-unaffected', same, seen);
  const values = touched.flatMap((d) => Object.values(after.sheet(d)));
  judged.observe('replicas-converge', !values.includes('stolen'), values.join());
  judged.observe('pending-bounded', same, seen);
  if (judged.wants('inert-render'))
    judged.observe('inert-render', same, 'nothing was kept that could be shown');
};

export const yjs: Family = { act, check };
