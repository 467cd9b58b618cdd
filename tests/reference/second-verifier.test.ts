import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { signCheckpoint } from '../../server/src/audit/checkpoint.ts';
import { Frontier, leafHash } from '../../server/src/audit/merkle.ts';
import { sha256Hex } from '../../server/src/audit/sha256.ts';
import { record, recordJump, systemLogOf } from '../../server/src/flows/system-log.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import { lockedBundle, type Locked } from '../support/locked-bundle.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

/** Written from the prose of the format alone, in another language, with no library. */
const SECOND = join(import.meta.dirname, '../support/second-verifier.py');
const noPython = spawnSync('python3', ['--version']).status !== 0;
const SEED = Number(process.env['SEED'] ?? 20260302);
/** How many random changes are tried. */
const CHANGES = Number(process.env['CHANGES'] ?? 50);

type Json = Record<string, unknown> & { events: string[]; checkpoints: string[]; origin: string };
type Event = { type: string; actor: string; role: string; data: Record<string, unknown> };

let locked: Locked;
beforeAll(async () => {
  locked = await lockedBundle(undefined, async ({ app, clock }) => {
    const system = await systemLogOf(app, () => app.ids.id('sy'));
    await record(app, system, [{ type: 'store-restored', data: { had: 90, has: 60 } }]);
    clock.jump(3_600_000);
    await recordJump(app, system);
  });
});

const opened = (): Json => JSON.parse(new TextDecoder().decode(locked.bytes)) as Json;
const closed = (bundle: object): Uint8Array => new TextEncoder().encode(canonicalText(bundle));

/** Signs whatever the events are now, at the sizes that were signed before and at the end. */
const resigned = (bundle: Json): Json => {
  const sizes = bundle.checkpoints.map((n) => Number(n.split('\n')[1]));
  const edge = new Frontier();
  const notes: string[] = [];
  bundle.events.forEach((text, i) => {
    edge.append(leafHash(text));
    const size = i + 1;
    if (!sizes.includes(size) && size !== bundle.events.length) return;
    notes.push(
      signCheckpoint({ origin: bundle.origin, size, root: edge.root() }, locked.app.signer),
    );
  });
  return { ...bundle, checkpoints: notes };
};

const withEvent = (bundle: Json, at: number, change: (e: Event) => void): void => {
  const event = JSON.parse(bundle.events[at] ?? '') as Event;
  change(event);
  bundle.events[at] = canonicalText(event);
};
const indexOf = (bundle: Json, type: string): number =>
  bundle.events.findIndex((e) => e.includes(`"type":"${type}"`));

/** What both say of each of these files; the second one reads them all in one run. */
const verdicts = (files: readonly Uint8Array[], extra: readonly string[] = []) => {
  const folder = temporaryDirectory();
  const names = files.map((bytes, i) => {
    const name = join(folder, `${String(i)}.json`);
    writeFileSync(name, bytes);
    return name;
  });
  const run = spawnSync('python3', [SECOND, '--key', locked.key, ...extra, ...names], {
    encoding: 'utf8',
    maxBuffer: 256 * 1024 * 1024,
  });
  expect(run.stderr).toBe('');
  const second = run.stdout
    .trim()
    .split('\n')
    .map((l) => JSON.parse(l) as { ok: boolean; step: string | null; result: unknown });
  expect(second).toHaveLength(files.length);
  return files.map((bytes, i) => {
    const first = verifyBundle(bytes, { key: locked.key });
    return { first, second: second[i]! };
  });
};

const sameVerdict = (
  pairs: ReturnType<typeof verdicts>,
  names: readonly string[],
): { held: number; sameStep: number } => {
  let held = 0;
  let sameStep = 0;
  pairs.forEach(({ first, second }, i) => {
    const why = JSON.stringify(first.findings[0] ?? second);
    expect(second.ok, `${names[i] ?? String(i)}: ${why}`).toBe(first.ok);
    if (first.ok) held++;
    if ((first.findings[0]?.step ?? null) === second.step) sameStep++;
  });
  return { held, sameStep };
};

describe.skipIf(noPython)(
  'AU-9: a second verifier, written from the prose',
  { timeout: 300_000 },
  () => {
    test('holds a bundle that holds, and has every figure alike to the last digit', () => {
      const [pair] = verdicts([locked.bytes]);
      expect(pair?.first.ok).toBe(true);
      expect(pair?.second.ok).toBe(true);
      expect(pair?.second.result).toEqual(pair?.first.facts?.result);
    });

    test('says the same of files with a changed byte', () => {
      const files: Uint8Array[] = [];
      const names: string[] = [];
      for (let at = 0; at < locked.bytes.length; at += 997) {
        const bytes = locked.bytes.slice();
        bytes[at] = (bytes[at] ?? 0) ^ 1;
        files.push(bytes);
        names.push(`byte ${String(at)}`);
      }
      expect(sameVerdict(verdicts(files), names).held).toBe(0);
      expect(files.length).toBeGreaterThan(80);
    });

    const edits: [name: string, change: (b: Json) => unknown, signs: boolean][] = [
      ['an event taken out', (b) => void b.events.splice(5, 1), false],
      ['the tail cut off', (b) => void b.events.pop(), false],
      ['the tail and its checkpoint cut off', (b) => [b.events.pop(), b.checkpoints.pop()], false],
      ['an unknown field', (b) => void (b['extra'] = 1), false],
      ['another protocol', (b) => void (b['protocol'] = `${String(b['protocol'])} `), false],
      ['another program', (b) => void (b['software'] = 'other'), false],
      ['no names', (b) => void (b['names'] = []), false],
      ['another name', (b) => void ((b['names'] as { name: string }[])[0]!.name = 'X'), false],
      ['names in another order', (b) => void (b['names'] as unknown[]).reverse(), false],
      ['a checkpoint less', (b) => void b.checkpoints.splice(0, 1), false],
      ['checkpoints in another order', (b) => void b.checkpoints.reverse(), false],
      ['another key', (b) => void (b['vkey'] = `${String(b['vkey'])}A`), false],
      ['an unsigned withdrawal of a figure', (b) => void (b['result'] = {}), false],
      ['events exchanged', (b) => void b.events.splice(3, 2, b.events[4]!, b.events[3]!), true],
      [
        'an event of a kind unknown',
        (b) => withEvent(b, 3, (e) => (e.type = 'seat-painted')),
        true,
      ],
      ['an event with one name more', (b) => withEvent(b, 3, (e) => (e.data['x'] = 1)), true],
      [
        'a signature of the lock by nobody',
        (b) => withEvent(b, b.events.length - 1, (e) => (e.actor = 'st_x')),
        true,
      ],
      [
        'a lock by a reviewer',
        (b) => withEvent(b, b.events.length - 1, (e) => (e.role = 'reviewer')),
        true,
      ],
      [
        'a jump by a moderator',
        (b) => withEvent(b, indexOf(b, 'clock-jumped'), (e) => (e.role = 'moderator')),
        true,
      ],
      [
        'an opening by the system',
        (b) =>
          withEvent(b, indexOf(b, 'round-opened'), (e) =>
            Object.assign(e, { actor: 'system', role: 'system' }),
          ),
        true,
      ],
      [
        'a round counted wrongly',
        (b) => withEvent(b, indexOf(b, 'round-started'), (e) => (e.data['round'] = 2)),
        true,
      ],
      [
        'a rating changed',
        (b) =>
          withEvent(
            b,
            indexOf(b, 'sheet-recorded'),
            (e) => ((e.data['ratings'] as { rating: { step: number } }[])[0]!.rating.step = 5),
          ),
        true,
      ],
      [
        'a rating changed with its digest',
        (b) =>
          withEvent(b, indexOf(b, 'sheet-recorded'), ({ data }) => {
            (data['ratings'] as { rating: { step: number } }[])[0]!.rating.step = 5;
            const { nonce, ratings, round, seat } = data;
            const told = { evaluation: b['log'], nonce, ratings, round, seat };
            data['digest'] = sha256Hex(canonicalText(told));
          }),
        true,
      ],
      [
        'a settled value changed',
        (b) => withEvent(b, indexOf(b, 'task-settled'), (e) => (e.data['value'] = '0.5')),
        true,
      ],
      [
        'a half point in thirds',
        (b) => withEvent(b, indexOf(b, 'task-settled'), (e) => (e.data['value'] = '0.3')),
        true,
      ],
      [
        'an exclusion taken back',
        (b) =>
          withEvent(
            b,
            b.events.findLastIndex((x) => x.includes('interest-declared')),
            (e) => (e.data['excluded'] = []),
          ),
        true,
      ],
      [
        'a tie with space before it',
        (b) =>
          withEvent(
            b,
            b.events.findIndex((x) => x.includes('Advice to')),
            (e) =>
              ((e.data['declaration'] as { ties: { detail: string }[] }).ties[0]!.detail =
                ' Advice'),
          ),
        true,
      ],
      [
        'a text that is not composed',
        (b) =>
          withEvent(b, 0, (e) => ((e.data['specimen'] as { maker: string }).maker = 'Ecole\u0301')),
        true,
      ],
      [
        'a reason that is not composed',
        (b) =>
          withEvent(
            b,
            b.events.findIndex(
              (x) => x.includes('"type":"task-settled"') && !x.includes('"reason":null'),
            ),
            (e) => (e.data['reason'] = `${String(e.data['reason'])} Ecole\u0301`),
          ),
        true,
      ],
      [
        'two spaces in a line',
        (b) => withEvent(b, 0, (e) => ((e.data['specimen'] as { maker: string }).maker = 'a  b')),
        true,
      ],
      [
        'an event after the lock',
        (b) =>
          void b.events.push(
            (b.events.at(-1) ?? '').replace(
              `"seq":${String(b.events.length - 1)}`,
              `"seq":${String(b.events.length)}`,
            ),
          ),
        true,
      ],
    ];

    test('says the same of whole edits, signed again where the key is at hand', () => {
      const files = edits.map(([, change, signs]) => {
        const bundle = opened();
        change(bundle);
        return closed(signs ? resigned(bundle) : bundle);
      });
      const { held, sameStep } = sameVerdict(
        verdicts(files),
        edits.map(([name]) => name),
      );
      // A text of a title and an erased name may be anything; all else is caught.
      expect(held).toBeLessThan(4);
      process.stderr.write(
        `second verifier: ${String(files.length)} edits, ${String(sameStep)} with the same step named\n`,
      );
    });

    /** Changes one leaf of one event at random: another number, text, null or boolean. */
    const leafMutant = (random: () => number): Uint8Array => {
      const bundle = opened();
      const at = Math.floor(random() * bundle.events.length);
      const event = JSON.parse(bundle.events[at] ?? '') as object;
      const places: [Record<string, unknown>, string][] = [];
      const walk = (node: object): void => {
        for (const [key, value] of Object.entries(node)) {
          if (typeof value === 'object' && value !== null) walk(value as object);
          else places.push([node as Record<string, unknown>, key]);
        }
      };
      walk(event);
      const [node, key] = places[Math.floor(random() * places.length)]!;
      const old = node[key];
      const others = [null, true, 0, 1, -1, 2.5, '', 'x', ' y', `${String(old)}x`, 'a\u202eb'];
      node[key] = others[Math.floor(random() * others.length)];
      bundle.events[at] = canonicalText(event);
      return closed(resigned(bundle));
    };

    test('says the same of random changes of single values, signed again', () => {
      const random = seededRandom(SEED);
      const files = Array.from({ length: CHANGES }, () => leafMutant(random));
      const names = files.map((_, i) => `seed ${String(SEED)}, file ${String(i)}`);
      const { held, sameStep } = sameVerdict(verdicts(files), names);
      process.stderr.write(
        `second verifier: ${String(files.length)} random changes, ${String(held)} held by both, ` +
          `${String(sameStep)} with the same step named\n`,
      );
      expect(held).toBeGreaterThan(0);
      expect(held).toBeLessThan(files.length);
    });

    test('says the same of a checkpoint that was kept', () => {
      const bundle = opened();
      const note = (size: number): string => {
        const further = { origin: bundle.origin, size, root: new Uint8Array(32).fill(1) };
        return signCheckpoint(further, locked.app.signer);
      };
      const cases = [bundle.checkpoints[0] ?? '', note(4), note(bundle.events.length + 3)];
      for (const seen of cases) {
        const file = join(temporaryDirectory(), 'seen.txt');
        writeFileSync(file, seen);
        const [pair] = verdicts([locked.bytes], ['--seen', file]);
        expect(pair?.second.ok).toBe(verifyBundle(locked.bytes, { seen: [seen] }).ok);
      }
    });
  },
);
