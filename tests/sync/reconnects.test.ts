import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { boardRule, sheetRule } from '../../server/src/documents/rules.ts';
import { checkProtocol } from '../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { seededRandom } from '../../server/src/rehearse/random.ts';
import type { ContentRule } from '../../server/src/wire/content-rule.ts';
import { inspectUpdate, type Inspection } from '../../server/src/wire/inspect.ts';
import {
  BOARD_ENTRIES,
  boardKey,
  noteRoot,
  protocolTasks,
  SHEET_ROOT,
  sheetKey,
} from '../../shared-types/src/index.ts';

/** How many reconnects and how many mutants a run takes; SEED=n begins elsewhere. */
const TIMES = Number(process.env['TIMES'] ?? 1000);
const SEED = Number(process.env['SEED'] ?? 20261126);

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const TASKS = protocolTasks(checked.protocol).map((t) => t.id);
const RULES = {
  sheet: sheetRule(checked.protocol),
  board: boardRule(checked.protocol, { open: () => true, fault: () => undefined }),
};
const [ME, YOU] = ['A', 'B'].map((s) => `st_${s.repeat(22)}`) as [string, string];

interface Device {
  doc: Y.Doc;
  seat: string;
  online: boolean;
}

/** A document of the server with two devices of one reviewer, and on the board one of somebody else. */
class Evening {
  readonly rule: ContentRule;
  readonly devices: Device[];
  readonly replica = { doc: new Y.Doc(), owners: new Map<number, string>() };
  /** Answers to the server's step 1, and what they were sent to, before they were taken. */
  readonly replies: { update: Uint8Array; seat: string; base: Uint8Array }[] = [];
  readonly refusals: string[] = [];
  readonly #kind: 'sheet' | 'board';
  readonly #random: () => number;
  #edits = 0;

  constructor(random: () => number) {
    this.#random = random;
    this.#kind = random() < 0.5 ? 'sheet' : 'board';
    this.rule = RULES[this.#kind];
    touch(this.replica.doc);
    const seats = this.#kind === 'sheet' ? [ME, ME] : [ME, ME, YOU];
    this.devices = seats.map((seat, i) => {
      const doc = touch(new Y.Doc());
      doc.clientID = 1 + i + 10 * Math.floor(random() * 1_000_000);
      return { doc, seat, online: random() < 0.5 };
    });
  }

  step(): void {
    const device = this.#pick(this.devices);
    const dice = this.#random();
    if (dice < 0.5) this.#edit(device);
    else if (dice < 0.7) device.online = false;
    else this.reconnect(device);
  }

  /** Step 1 and its answer; between them the other devices go on, and this one may send an edit too early. */
  reconnect(device: Device): void {
    device.online = true;
    const asked = Y.encodeStateVector(this.replica.doc);
    const missing = Y.encodeStateAsUpdate(this.replica.doc, Y.encodeStateVector(device.doc));
    if (this.#random() < 0.3) this.#edit(device);
    for (const other of this.devices) if (this.#random() < 0.3) this.#edit(other);
    const update = Y.encodeStateAsUpdate(device.doc, asked);
    const base = Y.encodeStateAsUpdate(this.replica.doc);
    this.replies.push({ update, seat: device.seat, base });
    const found = this.#take(device, update);
    if (found.kind === 'ahead') this.refusals.push('the answer to step 1 was ahead');
    Y.applyUpdate(device.doc, missing);
    this.#relay();
  }

  #edit(device: Device): void {
    this.#edits++;
    const { doc, seat } = device;
    const before = Y.encodeStateVector(doc);
    doc.transact(() => (this.#kind === 'sheet' ? this.#rate(doc) : this.#write(doc, seat)));
    if (!device.online) return;
    this.#take(device, Y.encodeStateAsUpdate(doc, before));
    this.#relay();
  }

  #rate(doc: Y.Doc): void {
    const map = doc.getMap(SHEET_ROOT);
    const task = this.#pick(TASKS.slice(0, 4));
    map.set(sheetKey(task, 'answer'), Math.floor(this.#random() * 6));
    if (this.#random() < 0.3) map.set(sheetKey(task, 'note'), `note ${String(this.#edits)}`);
    if (this.#random() < 0.2) map.set(sheetKey(task, 'easier'), null);
  }

  #write(doc: Y.Doc, seat: string): void {
    const text = doc.getText(noteRoot('general'));
    if (this.#random() < 0.5) {
      const id = String(this.#edits).padStart(22, '0');
      const at = '2026-03-02T09:00:00.000Z';
      const entry = { kind: 'remark', task: null, text: `remark ${id}`, at, replaces: null };
      doc.getMap(BOARD_ENTRIES).set(boardKey(seat, id), JSON.stringify(entry));
    } else if (text.length > 3 && this.#random() < 0.4) text.delete(0, 2);
    else text.insert(Math.floor(this.#random() * (text.length + 1)), `w${String(this.#edits)} `);
  }

  /** What the server does with an update; an edit that came before its answer to step 1 is ahead, and waits for it. */
  #take({ seat }: Device, update: Uint8Array): Inspection {
    const found = inspectUpdate(update, this.replica, this.rule, seat);
    if (found.kind === 'refuse') this.refusals.push(`${found.reason}: ${found.detail}`);
    if (found.kind !== 'ok') return found;
    for (const client of found.newClients) this.replica.owners.set(client, seat);
    Y.applyUpdate(this.replica.doc, update);
    return found;
  }

  /** Everybody on the line has what the server has. */
  #relay(): void {
    for (const { doc, online } of this.devices) {
      if (!online) continue;
      Y.applyUpdate(doc, Y.encodeStateAsUpdate(this.replica.doc, Y.encodeStateVector(doc)));
    }
  }

  #pick<T>(from: readonly T[]): T {
    const picked = from[Math.floor(this.#random() * from.length)];
    if (picked === undefined) throw new Error('nothing to pick from');
    return picked;
  }
}

const touch = (doc: Y.Doc): Y.Doc => {
  doc.getMap(SHEET_ROOT);
  doc.getMap(BOARD_ENTRIES);
  doc.getText(noteRoot('general'));
  return doc;
};

const plain = (doc: Y.Doc): string =>
  JSON.stringify([
    Object.entries(doc.getMap(SHEET_ROOT).toJSON()).toSorted(),
    Object.entries(doc.getMap(BOARD_ENTRIES).toJSON()).toSorted(),
    doc.getText(noteRoot('general')).toJSON(),
  ]);

/** Evenings until there are as many reconnects as asked for. */
const evenings = (seed: number): Evening[] => {
  const random = seededRandom(seed);
  const played: Evening[] = [];
  for (let reconnects = 0; reconnects < TIMES; reconnects += played.at(-1)?.replies.length ?? 0) {
    const evening = new Evening(random);
    for (let i = 0; i < 30; i++) evening.step();
    for (const device of [...evening.devices, ...evening.devices]) evening.reconnect(device);
    played.push(evening);
  }
  return played;
};

/** An honest update with bytes changed, cut out, doubled or taken from another one. */
const mutant = (honest: Uint8Array, other: Uint8Array, random: () => number): Uint8Array => {
  const bytes = [...honest];
  const at = (): number => Math.floor(random() * bytes.length);
  for (let i = 0; i <= Math.floor(random() * 3); i++) {
    const [dice, place, length] = [random(), at(), 1 + Math.floor(random() * 8)];
    if (dice < 0.5) bytes[place] = Math.floor(random() * 256);
    else if (dice < 0.65) bytes[place] = ((bytes[place] ?? 0) + 1) % 256;
    else if (dice < 0.75) bytes.splice(place, length);
    else if (dice < 0.85) bytes.splice(place, 0, ...bytes.slice(place, place + length));
    else if (dice < 0.95) bytes.splice(place, length, ...other.slice(place, place + length));
    else bytes.length = place;
  }
  return Uint8Array.from(bytes);
};

/** What is wrong with a document after an update that was let in; undefined when nothing is. */
const wrong = (before: Y.Doc, after: Y.Doc, evening: Evening, seat: string): string | undefined => {
  if (after.store.pendingStructs ?? after.store.pendingDs) return 'something waits in it';
  const others = [...evening.replica.owners].filter(([, owner]) => owner !== seat);
  if (others.some(([c]) => Y.getState(after.store, c) !== Y.getState(before.store, c)))
    return 'it speaks as somebody else';
  for (const name of [SHEET_ROOT, BOARD_ENTRIES]) {
    const root = evening.rule.roots.get(name);
    const [old, now] = [before.getMap(name), after.getMap(name)];
    for (const [key, value] of now.entries()) {
      if (old.get(key) === value) continue;
      const fits = root?.kind === 'map' && root.fault(key, value, seat) === undefined;
      if (!fits) return `${key} holds what it may not`;
    }
    // The owner of a sheet may take their own answer back; an entry of the board stands.
    if (name !== BOARD_ENTRIES) continue;
    const changed = [...old.entries()].filter(([key, value]) => now.get(key) !== value);
    if (changed.length > 0) return `${changed.join()} was changed`;
  }
  return undefined;
};

describe('devices that come back', () => {
  const played = evenings(SEED);
  const replies = played.flatMap((evening) => evening.replies.map((r) => ({ evening, ...r })));

  test(`SY-5: ${String(replies.length)} honest reconnects, offline edits of two devices between them, and none refused`, () => {
    expect(replies.length).toBeGreaterThanOrEqual(TIMES);
    for (const [i, evening] of played.entries()) {
      const which = `SEED=${String(SEED)}, evening ${String(i)}`;
      expect(evening.refusals, which).toEqual([]);
      const all = evening.devices.map(({ doc }) => plain(doc));
      expect(new Set([...all, plain(evening.replica.doc)]).size, which).toBe(1);
    }
  });

  test(`SY-7: ${String(TIMES)} mutants of what they sent change nothing that their sender may not`, () => {
    const random = seededRandom(SEED + 1);
    const seen = { ok: 0, noop: 0, ahead: 0, refuse: 0 };
    for (let i = 0; i < TIMES; i++) {
      const [honest, other] = [0, 1].map(() => replies[Math.floor(random() * replies.length)]!);
      const { evening, base, seat, update } = honest!;
      const [before, after] = [0, 1].map(() => touch(new Y.Doc())) as [Y.Doc, Y.Doc];
      for (const doc of [before, after]) Y.applyUpdate(doc, base);
      const changed = mutant(update, other!.update, random);
      const { owners } = evening.replica;
      const found = inspectUpdate(changed, { doc: after, owners }, evening.rule, seat);
      seen[found.kind]++;
      if (found.kind === 'ok') Y.applyUpdate(after, changed);
      const fault = wrong(before, after, evening, seat);
      expect(fault, `SEED=${String(SEED)}, mutant ${String(i)}`).toBeUndefined();
    }
    process.stderr.write(`mutated reconnects: ${JSON.stringify(seen)}, SEED=${String(SEED)}\n`);
    expect(seen.refuse).toBeGreaterThan(TIMES / 4);
    expect(seen.ok).toBeGreaterThan(0);
  });
});
