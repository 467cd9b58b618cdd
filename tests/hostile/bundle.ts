import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { sha256 } from '../../server/src/audit/sha256.ts';
import { signCheckpoint } from '../../server/src/audit/checkpoint.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import type { Bundle } from '../../shared-types/src/index.ts';
import { treeRoot } from '../../server/src/verify/bytes.ts';
import { lockedBundle } from '../support/locked-bundle.ts';
import { TEST_SIGNER } from './signer.ts';
import type { Family, Play } from './family.ts';
import { judgeRan, runCommand, runOnFile } from './program.ts';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';

interface Op {
  op: string;
  at?: number | string;
  field?: string;
  a?: number;
  b?: number;
  index?: number;
  name?: string;
  size?: string;
  value?: unknown;
  delta?: number;
  count?: number;
  depth?: number;
  text?: string;
}

let made: ReturnType<typeof lockedBundle> | undefined;
/** The valid bundle that every case starts from: an evaluation played to its lock. */
export const valid = async (): Promise<{ bytes: Uint8Array; key: string }> => {
  made ??= lockedBundle();
  const { bytes, key } = await made;
  return { bytes, key };
};

type Changed =
  | { kind: 'bundle'; bundle: Bundle }
  | { kind: 'text'; text: string }
  | { kind: 'bytes'; bytes: Buffer }
  | { kind: 'none'; why: string };

const FRESH = { name: TEST_SIGNER.name, seed: sha256('another key') };
const WITNESS = { name: 'witness.example/w1', seed: sha256('a witness') };

const rootOf = (events: readonly string[]): Uint8Array => new Uint8Array(treeRoot(events));

/** Checkpoints over the events as they are now, by any signer. */
const resigned = (b: Bundle, signer: typeof FRESH, size = (n: number) => n): Bundle => ({
  ...b,
  checkpoints: b.checkpoints.map((note) => {
    const n = Math.min(size(Number(note.split('\n')[1])), b.events.length);
    return signCheckpoint(
      { origin: b.origin, size: n, root: rootOf(b.events.slice(0, n)) },
      signer,
    );
  }),
});

const edited = (b: Bundle, at: number, edit: (text: string) => string): Bundle => ({
  ...b,
  events: b.events.map((text, i) => (i === at ? edit(text) : text)),
});

/** The event that an edit is about: in the middle, or the first that holds a text. */
const placeOf = (b: Bundle, op: Op): number => {
  if (typeof op.at === 'number') return Math.min(op.at, b.events.length - 1);
  if (op.at === 'settle')
    return b.events.findIndex(
      (e) => e.includes('"type":"task-settled"') && e.includes('"reason":"'),
    );
  if (op.field === 'score') return b.events.findIndex((e) => e.includes('"type":"sheet-recorded"'));
  return Math.floor(b.events.length / 2);
};

const lastNote = (b: Bundle, edit: (note: string) => string): Bundle => ({
  ...b,
  checkpoints: b.checkpoints.map((note, i) => (i === b.checkpoints.length - 1 ? edit(note) : note)),
});

const signatureLine = (signer: typeof FRESH, b: Bundle): string => {
  const note = signCheckpoint(
    { origin: b.origin, size: b.events.length, root: rootOf(b.events) },
    signer,
  );
  return `${note.split('\n').at(-2) ?? ''}\n`;
};

/** S + L of an Ed25519 signature: the same point another way. */
const malleated = (note: string): string => {
  const line = note.trimEnd().split(' ').at(-1) ?? '';
  const bytes = Buffer.from(line, 'base64');
  const L = 2n ** 252n + 27742317777372353535851937790883648493n;
  const s = BigInt(`0x${Buffer.from(bytes.subarray(36)).reverse().toString('hex')}`) + L;
  const turned = Buffer.from(s.toString(16).padStart(64, '0'), 'hex').reverse();
  return note.replace(line, Buffer.concat([bytes.subarray(0, 36), turned]).toString('base64'));
};

const onBundle = (b: Bundle, op: Op): Changed => {
  const bundle = (changed: Bundle): Changed => ({ kind: 'bundle', bundle: changed });
  const at = placeOf(b, op);
  const without = (i: number): string[] => b.events.filter((_e, j) => j !== i);
  switch (op.op) {
    case 'add-unknown-signature':
      return bundle(lastNote(b, (note) => note + signatureLine(WITNESS, b)));
    case 'edit-event':
      return bundle(
        edited(b, at, (text) =>
          op.field === 'score'
            ? text.replace(
                /"step":(\d)/u,
                (_all, n: string) => `"step":${String((Number(n) + 1) % 6)}`,
              )
            : text.replace(/"reason":"T/u, '"reason":"S'),
        ),
      );
    case 'swap-events': {
      const [x = 0, y = 0] = [op.a, op.b];
      return bundle({
        ...b,
        events: b.events.map((e, i) =>
          i === x ? (b.events[y] ?? e) : i === y ? (b.events[x] ?? e) : e,
        ),
      });
    }
    case 'drop-event':
      return bundle({ ...b, events: without(at) });
    case 'insert-event':
    case 'duplicate-event':
      return bundle({ ...b, events: b.events.toSpliced(at, 0, b.events[at] ?? '') });
    case 'rewind-to-checkpoint': {
      const note = b.checkpoints[op.index ?? 0] ?? '';
      const size = Number(note.split('\n')[1]);
      return bundle({
        ...b,
        events: b.events.slice(0, size),
        checkpoints: b.checkpoints.slice(0, (op.index ?? 0) + 1),
      });
    }
    case 'resign':
      return bundle({ ...resigned(b, FRESH), vkey: verifierKey(FRESH) });
    case 'drop-signature':
      return bundle(lastNote(b, (note) => note.slice(0, note.indexOf('\u2014'))));
    case 'swap-public-key':
      return bundle({
        ...b,
        vkey: b.vkey.replace(/\+[^+]*$/u, verifierKey(FRESH).replace(/^.*\+/u, '+')),
      });
    case 'malleate-signature':
      return bundle(lastNote(b, malleated));
    case 'checkpoint-size':
      return bundle(
        lastNote(b, (note) =>
          note.replace(
            /\n(\d+)\n/u,
            (_all, n: string) => `\n${String(Number(n) + (op.delta ?? 0))}\n`,
          ),
        ),
      );
    case 'checkpoint-root':
      return bundle(
        lastNote(b, (note) =>
          note.replace(
            /\n(\d+)\n[^\n]+\n/u,
            `\n$1\n${Buffer.from(sha256('another root')).toString('base64')}\n`,
          ),
        ),
      );
    case 'checkpoint-text':
      return bundle(
        lastNote(b, (note) =>
          note.replace(
            /\n(\d+)\n/u,
            (_all, n: string) => `\n${(op.size ?? '').replace('{n}', n)}\n`,
          ),
        ),
      );
    case 'checkpoint-origin':
      return bundle(lastNote(b, (note) => note.replace(/^[^\n]+/u, String(op.value))));
    case 'reformat-event':
      return bundle(edited(b, at, (text) => text.replaceAll('":', '": ')));
    case 'renumber-event':
      return bundle(edited(b, at, (text) => text.replace(/"seq":(\d+)/u, '"seq":$1.0')));
    case 'dup-key':
      return bundle(edited(b, at, (text) => text.replace('{', '{"seq":0,')));
    case 'edit-result': {
      const result = b.result as unknown as Record<string, unknown>;
      const composite = result['composite'] as Record<string, unknown>;
      const hidden = { verdict: { kind: 'no-confirmed-failure' } };
      const more =
        op.field === 'composite'
          ? {
              composite: {
                ...composite,
                value: { ...(composite['value'] as object), value: '1.23' },
              },
            }
          : hidden;
      return bundle({ ...b, result: { ...result, ...more } as unknown as Bundle['result'] });
    }
    case 'time-backwards':
      return bundle(
        resigned(
          edited(b, at, (text) => text.replace(/"at":"2026/u, '"at":"2025')),
          TEST_SIGNER,
        ),
      );
    case 'many-signatures':
      return bundle(lastNote(b, (note) => note + signatureLine(WITNESS, b).repeat(op.count ?? 0)));
    case 'swap-attachment':
      // The one text that stands beside the log under its hash is the protocol.
      return bundle({ ...b, protocol: b.protocol.replace('Emergency access', 'Emergency Access') });
    default:
      return onText(b, op);
  }
};

/** Changes that the bundle's own shape cannot hold: made on its text. */
const onText = (b: Bundle, op: Op): Changed => {
  const text = canonicalText(b);
  switch (op.op) {
    case 'flip-bit': {
      const bytes = Buffer.from(text);
      const at = Math.floor(bytes.length * Number(op.at));
      bytes[at] = (bytes[at] ?? 0) ^ 1;
      return { kind: 'bytes', bytes };
    }
    case 'truncate-file':
      return { kind: 'text', text: text.slice(0, Math.floor(text.length * Number(op.at))) };
    case 'renormalise': {
      // A text with an accent, composed when it was entered.
      const accented = edited(b, placeOf(b, { op: '', at: 'settle' }), (e) =>
        e.replace('"reason":"T', '"reason":"Te\u0301'),
      );
      // Signed again by the server's own key: the form of the text is all that is wrong.
      return { kind: 'bundle', bundle: resigned(accented, TEST_SIGNER) };
    }
    case 'attachment-name':
      return {
        kind: 'text',
        text: text.replace('{', `{"attachments":[{"name":"${String(op.value)}"}],`),
      };
    case 'wrap-deep':
      return {
        kind: 'text',
        text: `${'['.repeat(op.depth ?? 0)}${text}${']'.repeat(op.depth ?? 0)}`,
      };
    case 'long-proof':
      return {
        kind: 'text',
        text: text.replace(
          /\}$/u,
          `,"proof":[${Array.from({ length: op.count ?? 0 }, () => `"${'0'.repeat(64)}"`).join(',')}]}`,
        ),
      };
    case 'raw-insert':
      return { kind: 'text', text: text.replace('{', `{${op.text ?? ''}`) };
    default:
      return { kind: 'none', why: `no such change: ${op.op}` };
  }
};

const bytesOf = (changed: Changed): Buffer => {
  if (changed.kind === 'bundle') return Buffer.from(canonicalText(changed.bundle));
  if (changed.kind === 'text') return Buffer.from(changed.text);
  if (changed.kind === 'bytes') return changed.bytes;
  throw new Error(changed.why);
};

/** A place in a bundle as the verifier names it. */
const PLACE = /event \d+|checkpoint \d+|the end|the file|result|protocol|names?\b|vkey/u;

const act = async (play: Play): Promise<void> => {
  const { judged, payload } = play;
  const { ops } = JSON.parse(payload.toString('utf8')) as { ops: Op[] };
  const { bytes, key } = await valid();
  const bundle = JSON.parse(Buffer.from(bytes).toString('utf8')) as Bundle;
  const [op] = ops;
  const changed = op ? bytesOf(onBundle(bundle, op)) : Buffer.from(bytes);
  if (op && changed.equals(Buffer.from(bytes))) throw new Error(`${op.op} changed nothing`);
  const pinned = await runOnFile(changed, (file) => ['verify', file, '--key', key], 'bundle.json');
  const bare = await runOnFile(changed, (file) => ['verify', file], 'bundle.json');
  judgeRan(play, pinned, changed.length * 12);
  const exits = `with the key ${String(pinned.code)}, without ${String(bare.code)}: ${pinned.out.slice(0, 200)}`;
  // It holds, and the oddity is said: that is what the corpus calls sanitised.
  if (pinned.code === 0 && /Note \(/u.test(pinned.out)) judged.outcome = 'accepted-sanitised';
  judged.observe('verify-exit-0', pinned.code === 0 && bare.code === 0, exits);
  judged.observe('verify-exit-not-0', pinned.code === 1 && bare.code === 1, exits);
  judged.observe('verify-exit-not-0-with-pinned-key', pinned.code === 1, exits);
  judged.observe('verify-exit-not-0-without-pinned-key', bare.code === 1, exits);
  judged.observe('error-names-the-first-bad-place', PLACE.test(pinned.out), pinned.out);
  judged.observe(
    'recomputation-differs-reported',
    /figures.*is not what the events give/u.test(pinned.out),
    pinned.out,
  );
  judged.observe('reported-as-anomaly', /times|earlier/u.test(pinned.out), pinned.out);
  judged.observe(
    'result-not-influenced',
    pinned.code === 1 && !/HOLDS,/u.test(pinned.out),
    pinned.out,
  );
  const covers = /\d+ events|the last event|cut off|the end/u.test(pinned.out);
  judged.observe('verify-says-which-size-it-covers', covers, pinned.out);
  judged.observe('no-file-outside', !existsSync(join(tmpdir(), 'evil')), 'nothing is written');
  if (judged.wants('caught-when-newer-checkpoint-is-given')) await withSeen(play, changed, bundle);
};

const withSeen = async ({ judged }: Play, changed: Buffer, bundle: Bundle): Promise<void> => {
  const { key } = await valid();
  const folder = mkdtempSync(join(tmpdir(), 'unhindered-hostile-'));
  const [file, seen] = [join(folder, 'bundle.json'), join(folder, 'seen.txt')];
  writeFileSync(file, changed);
  writeFileSync(seen, bundle.checkpoints.at(-1) ?? '');
  const ran = await runCommand(['verify', file, '--key', key, '--seen', seen]);
  rmSync(folder, { recursive: true, force: true });
  judged.observe(
    'caught-when-newer-checkpoint-is-given',
    ran.code === 1 && ran.out.includes('REWIND'),
    ran.out,
  );
};

export const bundle: Family = { offline: true, act };
