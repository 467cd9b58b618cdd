import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalText } from '../../server/src/audit/canonical-json.ts';
import { signCheckpoint } from '../../server/src/audit/checkpoint.ts';
import { sha256Hex } from '../../server/src/audit/sha256.ts';
import { record, recordJump, systemLogOf } from '../../server/src/flows/system-log.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import type { FitCheck } from '../../shared-types/src/index.ts';
import { verifyBundle } from '../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../support/locked-bundle.ts';
import { eventfulDay } from '../support/safety.ts';
import { DETAILS } from '../support/specimen.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';
import {
  closed,
  indexOf,
  leafMutant,
  noPython,
  opened,
  resigned,
  sameVerdict,
  verdicts,
  withEvent,
  type BundleJson,
  type Shown,
} from '../support/two-verifiers.ts';

const SEED = Number(process.env['SEED'] ?? 20260302);
/** How many random changes are tried. */
const CHANGES = Number(process.env['CHANGES'] ?? 50);

let locked: Shown;
beforeAll(async () => {
  const made = await lockedBundle(
    undefined,
    async (made, panel) => {
      const { app, clock } = made;
      await eventfulDay(made, panel);
      const system = await systemLogOf(app, () => app.ids.id('sy'));
      await record(app, system, [{ type: 'store-restored', data: { had: 90, has: 60 } }]);
      clock.jump(3_600_000);
      await recordJump(app, system);
    },
    true,
  );
  locked = { ...made, signer: made.app.signer };
});

/** Changes the fit check of a bundle. */
const fit = (change: (check: FitCheck) => void) => (b: BundleJson) =>
  withEvent(b, indexOf(b, 'fit-checked'), (e) => change(e.data['check'] as FitCheck));

describe.skipIf(noPython)(
  'AU-9: a second verifier, written from the prose',
  { timeout: 300_000 },
  () => {
    test('holds a bundle that holds, and has every figure alike to the last digit', () => {
      const [pair] = verdicts(locked, [locked.bytes]);
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
      expect(sameVerdict(verdicts(locked, files), names).held).toBe(0);
      expect(files.length).toBeGreaterThan(80);
    });

    const edits: [name: string, change: (b: BundleJson) => unknown, signs: boolean][] = [
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
      [
        'no fit check',
        (b) =>
          withEvent(b, indexOf(b, 'fit-checked'), (e) => {
            Object.assign(e, { type: 'task-presented', data: { task: null } });
          }),
        true,
      ],
      [
        'a correction of a specimen that starts from something else',
        (b) =>
          withEvent(
            b,
            indexOf(b, 'specimen-corrected'),
            (e) => ((e.data['old'] as { serial: string }).serial = 'other'),
          ),
        true,
      ],
      ['a fit check that failed', fit((c) => (c.outcome = 'failed')), true],
      ['a step that is not met', fit((c) => (c.steps[0]!.result = 'not-met')), true],
      ['a fit check by nobody', fit((c) => (c.checker = `st_${'A'.repeat(22)}`)), true],
      ['a name for the model', fit((c) => (c.model.code = 'ANNA')), true],
      [
        'an override that nothing asked for',
        (b) =>
          withEvent(b, indexOf(b, 'fit-checked') + 1, (e) => {
            Object.assign(e, { type: 'fit-overridden', data: { reason: 'No need.' } });
          }),
        true,
      ],
      [
        'an override in the place of the fit check',
        (b) =>
          withEvent(b, indexOf(b, 'fit-checked'), (e) => {
            Object.assign(e, { type: 'fit-overridden', data: { reason: 'No instructions.' } });
          }),
        true,
      ],
      [
        'a correction of a specimen that was not registered',
        (b) =>
          withEvent(b, indexOf(b, 'fit-checked') + 1, (e) => {
            const data = {
              specimen: `sp_${'A'.repeat(22)}`,
              old: DETAILS,
              new: DETAILS,
              reason: 'r',
            };
            Object.assign(e, { type: 'specimen-corrected', data });
          }),
        true,
      ],
      [
        'an opening while all stand still',
        (b) =>
          withEvent(b, indexOf(b, 'everyone-resumed'), (e) => {
            Object.assign(e, { type: 'task-presented', data: { task: null } });
          }),
        true,
      ],
      [
        'a stop by another hand',
        (b) =>
          withEvent(
            b,
            indexOf(b, 'everyone-stopped'),
            (e) => (e.data['seat'] = `st_${'A'.repeat(22)}`),
          ),
        true,
      ],
      [
        'a stop of an earlier time, told late',
        (b) =>
          withEvent(
            b,
            indexOf(b, 'everyone-stopped'),
            (e) => (e.data['since'] = '2026-03-02T08:00:00.000Z'),
          ),
        true,
      ],
      [
        'another briefing',
        (b) =>
          withEvent(
            b,
            indexOf(b, 'briefing-acknowledged'),
            (e) => (e.data['text'] = 'a'.repeat(64)),
          ),
        true,
      ],
      [
        'a model who leaves unasked',
        (b) => withEvent(b, indexOf(b, 'consent-withdrawn'), (e) => (e.data['model'] = 'M9')),
        true,
      ],
      [
        'a name for a model of the day',
        (b) => withEvent(b, indexOf(b, 'consent-recorded'), (e) => (e.data['model'] = 'ANNA')),
        true,
      ],
      [
        'trials taken out of a model who stayed',
        (b) => withEvent(b, indexOf(b, 'model-trials-decided'), (e) => (e.data['model'] = 'M1')),
        true,
      ],
      [
        'an incident in a trial that is not there',
        (b) =>
          withEvent(b, indexOf(b, 'incident-noted'), (e) => {
            (e.data['note'] as { trial: string }).trial = `st_${'A'.repeat(22)}/${'A'.repeat(22)}`;
          }),
        true,
      ],
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
        const bundle = opened(locked);
        change(bundle);
        return closed(signs ? resigned(locked, bundle) : bundle);
      });
      const { held, sameStep } = sameVerdict(
        verdicts(locked, files),
        edits.map(([name]) => name),
      );
      // A text of a title and an erased name may be anything; all else is caught.
      expect(held).toBeLessThan(4);
      process.stderr.write(
        `second verifier: ${String(files.length)} edits, ${String(sameStep)} with the same step named\n`,
      );
    });

    test('says the same of random changes of single values, signed again', () => {
      const random = seededRandom(SEED);
      const files = Array.from({ length: CHANGES }, () => leafMutant(locked, random));
      const names = files.map((_, i) => `seed ${String(SEED)}, file ${String(i)}`);
      const { held, sameStep } = sameVerdict(verdicts(locked, files), names);
      process.stderr.write(
        `second verifier: ${String(files.length)} random changes, ${String(held)} held by both, ` +
          `${String(sameStep)} with the same step named\n`,
      );
      expect(held).toBeGreaterThan(0);
      expect(held).toBeLessThan(files.length);
    });

    test('says the same of a checkpoint that was kept', () => {
      const bundle = opened(locked);
      const note = (size: number): string => {
        const further = { origin: bundle.origin, size, root: new Uint8Array(32).fill(1) };
        return signCheckpoint(further, locked.signer);
      };
      const cases = [bundle.checkpoints[0] ?? '', note(4), note(bundle.events.length + 3)];
      for (const seen of cases) {
        const file = join(temporaryDirectory(), 'seen.txt');
        writeFileSync(file, seen);
        const [pair] = verdicts(locked, [locked.bytes], ['--seen', file]);
        expect(pair?.second.ok).toBe(verifyBundle(locked.bytes, { seen: [seen] }).ok);
      }
    });
  },
);
