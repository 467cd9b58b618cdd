import { beforeAll, describe, expect, test } from 'vitest';
import { signNote, type NoteSigner } from '../../server/src/audit/signed-note.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import type { TrialEdit } from '../support/edit-trials.ts';
import { BAD_FIGURES, BAD_ORDER, BAD_SHAPES, STILL_HOLDS } from '../support/trial-edits.ts';
import { randomDay } from '../support/random-day.ts';
import { recordWithTrials } from '../support/trial-record.ts';
import {
  closed,
  leafMutant,
  noPython,
  opened,
  resigned,
  sameVerdict,
  verdicts,
  type BundleJson,
  type Shown,
} from '../support/two-verifiers.ts';

const SEED = Number(process.env['SEED'] ?? 20260302);
const CHANGES = Number(process.env['CHANGES'] ?? 30);

let locked: Shown;
beforeAll(async () => {
  locked = await recordWithTrials();
});

/** What both say of each edit, signed again: the same, and what it should be. */
const sameOf = (edits: readonly TrialEdit[]): number => {
  const files = edits.map(({ change }) => {
    const bundle = opened(locked);
    change(bundle);
    return closed(resigned(locked, bundle));
  });
  const pairs = verdicts(locked, files);
  const { sameStep } = sameVerdict(
    pairs,
    edits.map((e) => e.name),
  );
  edits.forEach(({ name, holds }, i) => {
    const { first } = pairs[i]!;
    expect(first.ok, `${name}: ${JSON.stringify(first.findings)}`).toBe(holds);
  });
  process.stderr.write(
    `second verifier: ${String(edits.length)} edits of trials, ${String(sameStep)} with the same step named\n`,
  );
  return sameStep;
};

/** The last checkpoint with other signature lines behind its own. */
const witnessed = (lines: (own: string, text: string) => string[]): Uint8Array => {
  const bundle: BundleJson = opened(locked);
  const [text = '', own = ''] = (bundle.checkpoints.pop() ?? '').split('\n\n');
  bundle.checkpoints.push(`${text}\n\n${lines(own.trimEnd(), `${text}\n`).join('\n')}\n`);
  return closed(bundle);
};

const lineBy = (signer: NoteSigner, text: string): string =>
  (signNote(text, signer).split('\n\n')[1] ?? '').trimEnd();

describe.skipIf(noPython)(
  'AU-9 AU-11: both verifiers, of a record with trials',
  { timeout: 300_000 },
  () => {
    test('hold it, with the evidence alike to the last digit', () => {
      const [pair] = verdicts(locked, [locked.bytes]);
      expect(pair?.first.findings).toEqual([]);
      expect(pair?.second.ok).toBe(true);
      const result = pair?.first.facts?.result;
      expect(pair?.second.result).toEqual(result);
      expect(result?.evidence?.map((x) => [x.task, x.valid, x.done, x.criterion])).toEqual([
        ['wear-comfort', 2, 2, null],
        ['chest-access', 3, 1, 'met'],
        ['cpr-compressions', 4, 4, 'met'],
        ['fm-tool-first', 5, 3, 'met'],
        ['fm-cut-backup', 2, 0, 'met'],
        ['helmet-removal', 2, 2, 'not-met'],
        // The trial of a model who left is not among them.
        ['combined-removal', 4, 4, 'not-met'],
        ['bvm-ventilation', 2, 2, 'met'],
      ]);
      // Nearly all agree on these; the trials make them divergent, or leave them be.
      const divergent = result?.tasks.filter((t) => t.n > 0).map((t) => [t.task, t.divergent]);
      expect(divergent).toEqual([
        ['wear-comfort', true],
        ['pulse-check', false],
        ['chest-access', false],
        ['cpr-compressions', false],
        ['fm-tool-first', true],
        ['fm-cut-backup', false],
        ['helmet-removal', true],
        ['combined-removal', false],
        ['bvm-ventilation', false],
      ]);
    });

    test('say the same of trials that are not of the shape or of the protocol', () => {
      expect(sameOf(BAD_SHAPES)).toBeGreaterThan(0);
    });
    test('say the same of what nobody may do, and of decisions that trials do not bear out', () => {
      expect(sameOf(BAD_ORDER)).toBeGreaterThan(0);
    });
    test('say the same of figures that do not follow from the trials', () => {
      expect(sameOf(BAD_FIGURES)).toBeGreaterThan(0);
    });
    test('say the same of changes that nothing rests on', () => {
      expect(sameOf(STILL_HOLDS)).toBe(STILL_HOLDS.length);
    });

    test('say the same of the same panel on other days, with trials by chance', () => {
      const random = seededRandom(SEED + 3);
      const files = Array.from({ length: CHANGES }, (_, day) => {
        const bundle = opened(locked);
        randomDay(bundle, day, random);
        return closed(resigned(locked, bundle));
      });
      const names = files.map((_, i) => `seed ${String(SEED + 3)}, day ${String(i)}`);
      const pairs = verdicts(locked, files);
      const { held } = sameVerdict(pairs, names);
      const seen = new Set<unknown>();
      for (const { first, second } of pairs) {
        const result = first.facts?.result;
        expect(second.result).toEqual(result ?? null);
        for (const { criterion, medianSeconds } of result?.evidence ?? []) {
          seen.add(criterion).add('value' in medianSeconds || medianSeconds.undefinedBecause);
        }
      }
      process.stderr.write(
        `second verifier: ${String(files.length)} days by chance, ${String(held)} held by both\n`,
      );
      expect(held).toBeGreaterThan(0);
      // Chance has shown every status and none, a median, and each reason why there is none.
      expect(seen.size).toBe(7);
    });

    test('say the same of random changes of single values of board entries, signed again', () => {
      const random = seededRandom(SEED + 2);
      const files = Array.from({ length: CHANGES }, () =>
        leafMutant(locked, random, 0, ({ type }) => type === 'entry-posted'),
      );
      const names = files.map((_, i) => `seed ${String(SEED + 2)}, file ${String(i)}`);
      const { held, sameStep } = sameVerdict(verdicts(locked, files), names);
      process.stderr.write(
        `second verifier: ${String(files.length)} random changes of board entries, ` +
          `${String(held)} held by both, ${String(sameStep)} with the same step named\n`,
      );
      expect(held).toBeGreaterThan(0);
      expect(held).toBeLessThan(files.length);
    });

    test('VF-1: say the same of checkpoints with lines of other keys', () => {
      const witness = { name: 'witness.example', seed: new Uint8Array(32).fill(7) };
      const namesake = { name: locked.signer.name, seed: witness.seed };
      const cases: [name: string, file: Uint8Array, holds: boolean][] = [
        ['a witness', witnessed((own, text) => [lineBy(witness, text), own]), true],
        ['a namesake', witnessed((own, text) => [own, lineBy(namesake, text)]), true],
        ['a witness of another text', witnessed((own) => [own, lineBy(witness, 'x\n')]), true],
        ['twice by its own key', witnessed((own) => [own, own]), false],
        ['no line of its own', witnessed((_, text) => [lineBy(witness, text)]), false],
        [
          'a line with four bytes',
          witnessed((own) => [own, '\u2014 witness.example AAAAAA==']),
          false,
        ],
        ['a line without a dash', witnessed((own) => [own, 'witness.example AAAAAAA=']), false],
        [
          '100 lines',
          witnessed((own, text) => [own, ...Array<string>(99).fill(lineBy(witness, text))]),
          true,
        ],
        [
          '101 lines',
          witnessed((own, text) => [own, ...Array<string>(100).fill(lineBy(witness, text))]),
          false,
        ],
      ];
      const pairs = verdicts(
        locked,
        cases.map(([, file]) => file),
      );
      sameVerdict(
        pairs,
        cases.map(([name]) => name),
      );
      cases.forEach(([name, , holds], i) => expect(pairs[i]?.first.ok, name).toBe(holds));
    });
  },
);
