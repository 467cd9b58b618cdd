import { existsSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { boardRule, sheetRule } from '../../../server/src/documents/rules.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { readFrame } from '../../../server/src/wire/frames.ts';
import { inspectUpdate, type Inspection } from '../../../server/src/wire/inspect.ts';

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const SHEET = sheetRule(checked.protocol);
let closed: string[] = [];
const isOpen = (task: string | null): boolean => task === null || !closed.includes(task);
const BOARD = boardRule(checked.protocol, {
  open: isOpen,
  fault: (_author, entry) => (isOpen(entry.task) ? undefined : 'the round of this task is sealed'),
});

const ME = `st_${'A'.repeat(22)}`;
const YOU = `st_${'B'.repeat(22)}`;
const KEY = 'fit-retention/answer';
const OTHER = 'wear-comfort/answer';

/** A server's replica with edits of known people in it. */
const replica = (edits: [client: number, seat: string, edit: (doc: Y.Doc) => void][] = []) => {
  const doc = new Y.Doc();
  doc.getMap('r');
  doc.getMap('entries');
  doc.getText('note:general');
  const owners = new Map<number, string>();
  for (const [client, seat, edit] of edits) {
    const from = new Y.Doc();
    Y.applyUpdate(from, Y.encodeStateAsUpdate(doc));
    from.clientID = client;
    edit(from);
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(from, Y.encodeStateVector(doc)));
    owners.set(client, seat);
  }
  return { doc, owners };
};

/** The update that a client would send for an edit on top of what a replica has. */
const updateOf = (base: Y.Doc, client: number, edit: (doc: Y.Doc) => void): Uint8Array => {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, Y.encodeStateAsUpdate(base));
  doc.clientID = client;
  const before = Y.encodeStateVector(doc);
  edit(doc);
  return Y.encodeStateAsUpdate(doc, before);
};

const set = (key: string, value: unknown) => (doc: Y.Doc) => void doc.getMap('r').set(key, value);
const reason = (i: Inspection): string => (i.kind === 'refuse' ? i.reason : i.kind);
const onSheet = (edit: (doc: Y.Doc) => void, client = 7): string => {
  const r = replica();
  return reason(inspectUpdate(updateOf(r.doc, client, edit), r, SHEET, ME));
};

describe('SY-1: what an honest device sends is taken', () => {
  test('a rating, its overwriting, a second device, and the whole state again', () => {
    const r = replica([[1, ME, set(KEY, 2)]]);
    expect(inspectUpdate(updateOf(r.doc, 1, set(KEY, 3)), r, SHEET, ME).kind).toBe('ok');
    const second = inspectUpdate(updateOf(r.doc, 2, set(KEY, 4)), r, SHEET, ME);
    expect(second).toMatchObject({ kind: 'ok', newClients: [2] });
    expect(inspectUpdate(Y.encodeStateAsUpdate(r.doc), r, SHEET, ME).kind).toBe('noop');
  });

  test('a long offline evening with many overwritten values in one step 2', () => {
    const r = replica();
    const update = updateOf(r.doc, 5, (doc) => {
      for (let i = 0; i < 300; i++) set(i % 2 === 0 ? KEY : OTHER, i % 6)(doc);
    });
    expect(inspectUpdate(update, r, SHEET, ME).kind).toBe('ok');
  });

  test('the deletions of others that a step 2 repeats are no deletions by this author', () => {
    const r = replica([
      [1, YOU, (d) => d.getText('note:general').insert(0, 'hello')],
      [2, ME, (d) => d.getText('note:general').delete(0, 2)],
    ]);
    expect(inspectUpdate(Y.encodeStateAsUpdate(r.doc), r, BOARD, YOU).kind).toBe('noop');
  });

  test('an edit that overtakes its step 2 is ahead, not refused', () => {
    const doc = new Y.Doc();
    doc.clientID = 9;
    set(KEY, 1)(doc);
    const between = Y.encodeStateVector(doc);
    set(OTHER, 2)(doc);
    const r = replica();
    expect(inspectUpdate(Y.encodeStateAsUpdate(doc, between), r, SHEET, ME).kind).toBe('ahead');
  });
});

describe('SY-1: what a hostile device sends is refused before it is applied', () => {
  test.each<[string, string, (doc: Y.Doc) => void]>([
    ['a root that does not exist', 'unknown-root', (d) => void d.getMap('other').set('x', 1)],
    ['a field that does not exist', 'value', set('fit-retention/points', 1)],
    ['a task that does not exist', 'value', set('no-such-task/answer', 1)],
    ['a step off the scale', 'value', set(KEY, 6)],
    ['half a step', 'value', set(KEY, 2.5)],
    ['NaN', 'value', set(KEY, Number.NaN)],
    ['an array', 'content', set(KEY, [1])],
    ['a nested map', 'content', set(KEY, new Y.Map())],
    ['a subdocument', 'content', set(KEY, new Y.Doc())],
    ['bytes', 'content', set(KEY, new Uint8Array([1]))],
    ['a list where a map is', 'content', (d) => void d.getArray('r').push([1])],
    ['a note of 3000 signs', 'value', set('fit-retention/note', 'x'.repeat(3000))],
    ['a direction override', 'value', set('fit-retention/note', 'a\u202eb')],
  ])('%s', (_name, expected, edit) => {
    expect(onSheet(edit)).toBe(expected);
  });

  test('an edit inside a nested type', () => {
    const r = replica([[1, ME, set(KEY, new Y.Map())]]);
    const update = updateOf(
      r.doc,
      1,
      (d) => void (d.getMap('r').get(KEY) as Y.Map<unknown>).set('x', 1),
    );
    expect(reason(inspectUpdate(update, r, SHEET, ME))).toBe('nested');
  });

  test('the client id of somebody else', () => {
    const r = replica([[1, YOU, set(KEY, 1)]]);
    expect(reason(inspectUpdate(updateOf(r.doc, 1, set(KEY, 5)), r, SHEET, ME))).toBe(
      'foreign-client',
    );
  });

  test('what somebody else wrote is no edit by who repeats it', () => {
    const r = replica([[2, YOU, (d) => d.getText('note:general').insert(0, 'hello')]]);
    const whole = Y.encodeStateAsUpdate(r.doc);
    expect(reason(inspectUpdate(whole, r, BOARD, ME))).toBe('noop');
  });

  test.each([
    ['of a client that nobody knows, which the library would wait for', 9, 0],
    ['of its own that never was, at which the library would throw', 1, 9],
  ])('an edit repeated on top of one %s', (_what, client, clock) => {
    const r = replica([[1, ME, set(KEY, 2)]]);
    const e = encoding.createEncoder();
    const numbers = (...all: number[]): void => all.forEach((n) => encoding.writeVarUint(e, n));
    // One new item of client 3 under a key, and beside it the known one of client 1 with another origin.
    numbers(2, 1, 3, 0);
    encoding.writeUint8(e, 0x28);
    numbers(1);
    for (const name of ['r', OTHER]) encoding.writeVarString(e, name);
    numbers(1);
    encoding.writeAny(e, 3);
    numbers(1, 1, 0);
    encoding.writeUint8(e, 0x88);
    numbers(client, clock, 1);
    encoding.writeAny(e, 2);
    numbers(0);
    const update = encoding.toUint8Array(e);
    expect(Y.decodeUpdate(update).structs).toHaveLength(2);
    expect(reason(inspectUpdate(update, r, SHEET, ME))).toBe('malformed');
    const harmed = (): boolean => {
      try {
        Y.applyUpdate(r.doc, update);
      } catch {
        return true;
      }
      return r.doc.store.pendingStructs !== null;
    };
    expect(harmed()).toBe(true);
  });

  test('ten bytes that delete what another wrote', () => {
    const r = replica([[1, YOU, set(KEY, 1)]]);
    const encoder = encoding.createEncoder();
    for (const n of [0, 1, 1, 1, 0, 1]) encoding.writeVarUint(encoder, n);
    expect(reason(inspectUpdate(encoding.toUint8Array(encoder), r, SHEET, ME))).toBe(
      'foreign-delete',
    );
  });

  test('a deletion of what is not there is ahead, and never waits in the document', () => {
    const encoder = encoding.createEncoder();
    for (const n of [0, 1, 77, 1, 0, 9]) encoding.writeVarUint(encoder, n);
    expect(inspectUpdate(encoding.toUint8Array(encoder), replica(), SHEET, ME).kind).toBe('ahead');
  });

  test('a struct count without a body is malformed, and allocates nothing', () => {
    const bomb = Uint8Array.from([1, 0xff, 0xff, 0xff, 0x0f, 1, 0]);
    expect(reason(inspectUpdate(bomb, replica(), SHEET, ME))).toBe('malformed');
  });
});

describe('SY-6: the board', () => {
  const entry = (task: string | null) =>
    JSON.stringify({
      kind: 'remark',
      task,
      text: 'hello',
      at: '2026-03-02T09:00:00.000Z',
      replaces: null,
    });
  const put =
    (seat: string, value: string, id = 'x') =>
    (d: Y.Doc) =>
      void d.getMap('entries').set(`${seat}/${id.repeat(22)}`, value);
  const onBoard = (r: ReturnType<typeof replica>, edit: (doc: Y.Doc) => void): Inspection =>
    inspectUpdate(updateOf(r.doc, 7, edit), r, BOARD, ME);

  test('an entry of one’s own is taken and reported for the log', () => {
    const found = onBoard(replica(), put(ME, entry(null)));
    expect(found).toMatchObject({ kind: 'ok', entries: [{ key: `${ME}/${'x'.repeat(22)}` }] });
  });

  test('an entry under another seat, a second value, a deletion and bad text are refused', () => {
    expect(reason(onBoard(replica(), put(YOU, entry(null))))).toBe('value');
    expect(reason(onBoard(replica(), put(ME, '{"kind":"other"}')))).toBe('value');
    const r = replica([[7, ME, put(ME, entry(null))]]);
    expect(reason(onBoard(r, put(ME, entry(null))))).toBe('immutable');
    const remove = (d: Y.Doc): void => d.getMap('entries').delete(`${ME}/${'x'.repeat(22)}`);
    expect(reason(onBoard(r, remove))).toBe('immutable');
  });

  test('SE-4: while a task is sealed its remarks and its note are closed', () => {
    closed = ['fit-retention'];
    expect(reason(onBoard(replica(), put(ME, entry('fit-retention'))))).toBe('value');
    const write = (d: Y.Doc): void => d.getText('note:fit-retention').insert(0, 'x');
    expect(reason(onBoard(replica(), write))).toBe('closed');
    closed = [];
    expect(onBoard(replica(), write).kind).toBe('ok');
  });

  test('a note takes plain text of anybody, but no formats and not without end', () => {
    const r = replica([[1, YOU, (d) => d.getText('note:general').insert(0, 'hello')]]);
    expect(onBoard(r, (d) => d.getText('note:general').delete(0, 3)).kind).toBe('ok');
    expect(
      reason(onBoard(r, (d) => d.getText('note:general').insert(0, 'x', { bold: true }))),
    ).toBe('content');
    const much = (d: Y.Doc): void => d.getText('note:general').insert(0, 'x'.repeat(20_001));
    expect(reason(onBoard(r, much))).toBe('too-large');
  });
});

test('SY-7: no mutation of an honest update is ever applied wrongly or left waiting', () => {
  const seed = Number(process.env['SEED'] ?? 20260302);
  const base = replica([[1, ME, set(KEY, 2)]]);
  const honest = updateOf(base.doc, 1, (d) => {
    set(OTHER, 3)(d);
    set('fit-retention/note', 'a note')(d);
  });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat(honest.length - 1), fc.integer({ min: 1, max: 255 })), {
        minLength: 1,
        maxLength: 3,
      }),
      (flips) => {
        const mutant = honest.slice();
        for (const [at, change] of flips) mutant[at] = (mutant[at] ?? 0) ^ change;
        const r = replica([[1, ME, set(KEY, 2)]]);
        const found = inspectUpdate(mutant, r, SHEET, ME);
        if (found.kind !== 'ok') return true;
        Y.applyUpdate(r.doc, mutant);
        const values = [...r.doc.getMap('r').entries()];
        const allowed = values.every(([key, value]) => {
          const root = SHEET.roots.get('r');
          return root?.kind === 'map' && root.fault(key, value, ME) === undefined;
        });
        return allowed && r.doc.store.pendingStructs === null && r.doc.store.pendingDs === null;
      },
    ),
    { seed, numRuns: 2000 },
  );
});

const corpus = new URL('../../../../shared/corpus/open/', import.meta.url);

if (!existsSync(corpus)) {
  process.stderr.write('hostile corpus: not beside the project, its cases are skipped\n');
}

describe.skipIf(!existsSync(corpus))('hostile sync frames kept beside the project', () => {
  interface Case {
    id: string;
    channel: string;
    title: string;
    file?: string;
    expect: string[];
  }
  const index = existsSync(corpus)
    ? (JSON.parse(readFileSync(new URL('index.json', corpus), 'utf8')) as
        { cases: Case[] } | Case[])
    : [];
  const cases = (Array.isArray(index) ? index : index.cases).filter(
    (c) =>
      c.channel === 'yjs-sync' && c.file !== undefined && !c.expect.includes('accepted-unchanged'),
  );
  test.each(cases)('$id $title', ({ file }) => {
    const bytes = new Uint8Array(readFileSync(new URL(file ?? '', corpus)));
    const frame = readFrame(bytes);
    if (!('update' in frame)) return;
    const r = replica([[1, YOU, set(KEY, 1)]]);
    const before = JSON.stringify(r.doc.getMap('r').toJSON());
    const found = inspectUpdate(frame.update, r, SHEET, ME);
    expect(['refuse', 'ahead', 'noop']).toContain(found.kind);
    expect(JSON.stringify(r.doc.getMap('r').toJSON())).toBe(before);
  });
});

test('SY-8: a frame is read whole or called malformed', () => {
  expect(readFrame(Uint8Array.of()).kind).toBe('malformed');
  expect(readFrame(Uint8Array.of(0, 2, 5, 1)).kind).toBe('malformed');
  expect(readFrame(Uint8Array.of(0, 0, 1, 0)).kind).toBe('step-1');
  expect(readFrame(Uint8Array.of(0, 0, 1, 0, 9)).kind).toBe('malformed');
  expect(readFrame(Uint8Array.of(1, 3, 1, 2, 3)).kind).toBe('awareness');
  expect(decoding.readVarUint(decoding.createDecoder(Uint8Array.of(64)))).toBe(64);
});
