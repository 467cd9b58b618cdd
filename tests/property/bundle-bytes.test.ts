import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { lockedBundle, type Locked } from '../support/locked-bundle.ts';

/** Every how many bytes a change is tried: a sample by default, BYTES_STRIDE=1 for every position. */
const STRIDE = Number(process.env['BYTES_STRIDE'] ?? 211);
const SEED = Number(process.env['SEED'] ?? 20260301);

let locked: Locked;
beforeAll(async () => {
  locked = await lockedBundle();
});

type Json = Record<string, unknown> & { events: string[]; checkpoints: string[] };
const opened = (): Json => JSON.parse(new TextDecoder().decode(locked.bytes)) as Json;
const closed = (bundle: Json): Uint8Array => new TextEncoder().encode(canonicalText(bundle));
const held = (bytes: Uint8Array) => verifyBundle(bytes, { key: locked.key });

test('an untouched bundle holds, with and without the key', () => {
  expect(held(locked.bytes)).toMatchObject({ ok: true, anchored: true, findings: [] });
  expect(verifyBundle(locked.bytes)).toMatchObject({ ok: true, anchored: false });
});

test(
  'AU-5: a changed byte at any position is caught and its place named',
  { timeout: 7_200_000 },
  () => {
    let tried = 0;
    for (let at = 0; at < locked.bytes.length; at += STRIDE) {
      const bytes = locked.bytes.slice();
      bytes[at] = (bytes[at] ?? 0) ^ 1;
      const { ok, findings } = verifyBundle(bytes);
      expect(ok, `byte ${String(at)}`).toBe(false);
      expect(findings[0]?.where, `byte ${String(at)}`).not.toBe('');
      tried++;
    }
    process.stderr.write(
      `bundle bytes: ${String(tried)} of ${String(locked.bytes.length)} positions changed, all caught\n`,
    );
    expect(tried).toBeGreaterThan(300);
  },
);

test('AU-5: any value at any byte is caught', () => {
  fc.assert(
    fc.property(fc.nat(locked.bytes.length - 1), fc.integer({ min: 1, max: 255 }), (at, change) => {
      const bytes = locked.bytes.slice();
      bytes[at] = (bytes[at] ?? 0) ^ change;
      return !verifyBundle(bytes).ok;
    }),
    { seed: SEED, numRuns: 400 },
  );
});

describe('whole edits', () => {
  const edit = (name: string, change: (bundle: Json) => void, step: string): void => {
    test(`${name} is caught at ${step}`, () => {
      const bundle = opened();
      change(bundle);
      expect(held(closed(bundle)).findings[0]?.step).toBe(step);
    });
  };
  edit('an event taken out', (b) => void b.events.splice(5, 1), 'checkpoints');
  edit(
    'an event put in twice',
    (b) => void b.events.splice(5, 0, b.events[5] ?? ''),
    'checkpoints',
  );
  edit('two events exchanged', (b) => void b.events.push(b.events.shift() ?? ''), 'checkpoints');
  edit('the tail cut off', (b) => void b.events.pop(), 'checkpoints');
  edit(
    'the tail and its checkpoint cut off',
    (b) => {
      b.events.pop();
      b.checkpoints.pop();
    },
    'order',
  );
  edit('an unknown field', (b) => void (b['extra'] = 1), 'shape');
  edit(
    'another result',
    (b) => {
      (b['result'] as { alphaOrdinal: unknown }).alphaOrdinal = { value: '0.99' };
    },
    'figures',
  );
  edit(
    'another protocol',
    (b) => {
      b['protocol'] = String(b['protocol']).replace('"weight":6', '"weight":7');
    },
    'protocol',
  );
  edit(
    'another name',
    (b) => {
      (b['names'] as { name: string }[])[0]!.name = 'Somebody else';
    },
    'names',
  );
  edit('another program', (b) => void (b['software'] = 'other 9.9'), 'shape');

  test('an erased name leaves the bundle whole', () => {
    const bundle = opened();
    bundle['names'] = [];
    expect(held(closed(bundle)).ok).toBe(true);
  });

  test('a bundle signed by another key holds in itself, and is caught by the key one trusts', async () => {
    const { signNote, verifierKey } = await import('../../server/src/audit/signed-note.ts');
    const other = { name: locked.app.signer.name, seed: new Uint8Array(32).fill(9) };
    const bundle = opened();
    bundle['vkey'] = verifierKey(other);
    bundle.checkpoints = bundle.checkpoints.map((n) =>
      signNote(n.slice(0, n.indexOf('\n\n') + 1), other),
    );
    expect(verifyBundle(closed(bundle))).toMatchObject({ ok: true, anchored: false });
    expect(held(closed(bundle)).findings[0]?.step).toBe('key');
  });

  test('rewind and fork are caught by a checkpoint that was seen', async () => {
    const { signCheckpoint } = await import('../../server/src/audit/checkpoint.ts');
    const bundle = opened();
    const origin = String(bundle['origin']);
    const further = { origin, size: bundle.events.length + 3, root: new Uint8Array(32).fill(1) };
    const ahead = signCheckpoint(further, locked.app.signer);
    const beside = signCheckpoint({ ...further, size: 4 }, locked.app.signer);
    const check = (seen: string) => verifyBundle(locked.bytes, { key: locked.key, seen: [seen] });
    expect(check(ahead).findings[0]?.what).toContain('REWIND');
    expect(check(beside).findings[0]?.what).toContain('FORK');
    expect(check(bundle.checkpoints[0] ?? '').ok).toBe(true);
  });
});
