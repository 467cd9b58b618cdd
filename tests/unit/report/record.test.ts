import { beforeAll, describe, expect, test } from 'vitest';
import {
  roundHalfUp,
  type RecordBlock,
  type RecordDocument,
} from '../../../shared-types/src/index.ts';
import { buildRecord, recordOf } from '../../../server/src/report/build-record.ts';
import { readSource, type RecordSource } from '../../../server/src/report/record-source.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle, PLANS } from '../../support/locked-bundle.ts';
import { recordTrial, trial } from '../../support/trials.ts';

const textsOf = (block: RecordBlock): string[] => {
  switch (block.kind) {
    case 'text':
    case 'heading':
    case 'verdict':
      return [block.text];
    case 'list':
      return block.items;
    case 'facts':
      return block.rows.flatMap((r) => [r.term, r.text]);
    case 'bars':
      return [block.caption, block.alt, ...block.rows.flatMap((r) => [r.label, r.text, r.note])];
    case 'curve':
      return [block.caption, block.alt];
    case 'strips':
      return [block.alt, ...block.rows.flatMap((r) => [r.title, r.note, r.settledText, r.how])];
    case 'table':
      return [block.caption, ...block.head, ...block.rows.flat(2)];
  }
};

let bytes: Uint8Array;
let source: RecordSource;
let record: RecordDocument;
const said = (id: string): string =>
  (record.sections.find((s) => s.id === id)?.blocks ?? []).flatMap(textsOf).join('\n');

beforeAll(async () => {
  ({ bytes } = await lockedBundle());
  source = readSource(bytes);
  record = recordOf(source);
});

test('RE-1: the same bundle gives the same record, and nothing but the bundle is asked', () => {
  expect(buildRecord(Uint8Array.from(bytes))).toEqual(record);
});

test('RE-2: names of people stand in a record only when they were asked for', () => {
  const plain = JSON.stringify(record);
  const named = JSON.stringify(buildRecord(bytes, true));
  for (const name of ['Mo', 'Reviewer 1', 'Reviewer 2', 'Reviewer 3']) {
    expect(plain, name).not.toContain(`(${name})`);
    expect(named, name).toContain(`(${name})`);
  }
});

describe('RE-3: every figure follows from the ratings in the bundle', () => {
  /** Ratings that stand at the lock, by hand from the plans: A rated the mask again in round 2. */
  const a = { ...PLANS[0], 'fm-tool-first': 4 };
  const plans: Record<string, number>[] = [a, PLANS[1], PLANS[2]] as never;
  const TASKS = ['fit-retention', 'wear-comfort', 'airway-open', 'fm-tool-first', 'fm-cut-backup'];
  /** A's tie to the cutter takes A out of the task that uses it. */
  const steps = (task: string, all: boolean): number[] =>
    plans
      .filter((_, i) => all || i !== 0 || task !== 'fm-cut-backup')
      .map((p) => p[task] ?? Number.NaN);
  const middle = (values: number[]): number => {
    const v = values.toSorted((x, y) => x - y);
    return ((v[Math.floor((v.length - 1) / 2)] ?? 0) + (v[Math.ceil((v.length - 1) / 2)] ?? 0)) / 2;
  };
  const average = (values: number[]): number => values.reduce((s, x) => s + x, 0) / values.length;
  /** Sections A, D and E with weights 6, 14 and 13; tasks weigh alike. */
  const composite = (of: (values: number[]) => number, all: boolean): number => {
    const value = (task: string): number => of(steps(task, all));
    const sections = [
      [6, average([value('fit-retention'), value('wear-comfort')])],
      [14, value('airway-open')],
      [13, average([value('fm-tool-first'), value('fm-cut-backup')])],
    ] as const;
    return sections.reduce((s, [w, x]) => s + w * x, 0) / 33;
  };
  const figure = (id: string): number => {
    const value = record.figures.find((f) => f.id === id)?.value;
    return value && 'value' in value ? Number(value.value) : Number.NaN;
  };

  test.each([
    ['composite-of-medians', () => composite(middle, false)],
    ['composite-of-medians-with-interests', () => composite(middle, true)],
    ['composite-of-means', () => composite(average, false)],
    ['composite-of-means-with-interests', () => composite(average, true)],
  ] as const)('%s, by hand, and printed as rounded', (id, byHand) => {
    expect(figure(id)).toBeCloseTo(byHand(), 10);
    expect(said('sensitivity')).toContain(roundHalfUp(byHand(), 2));
  });

  test('the shares of pairs, pair by pair', () => {
    const pairs = TASKS.flatMap((task) => {
      const values = steps(task, false);
      return values.flatMap((x, i) => values.slice(i + 1).map((y) => Math.abs(x - y)));
    });
    const share = (within: number): number =>
      pairs.filter((d) => d <= within).length / pairs.length;
    expect(figure('pairs-within-one')).toBeCloseTo(share(1), 10);
    expect(figure('pairs-exact')).toBeCloseTo(share(0), 10);
    expect(said('agreement')).toContain(`of ${String(pairs.length)} pairs`);
    expect(said('agreement')).toContain(`${roundHalfUp(100 * share(1), 0)} %`);
  });

  test('the locked figures, by the verifier that shares no code with the writer', () => {
    const { facts } = verifyBundle(bytes);
    const result = facts?.result;
    const of = (f: { value: string } | { undefinedBecause: string } | undefined): number =>
      f && 'value' in f ? Number(f.value) : Number.NaN;
    expect(figure('composite')).toBe(of(result?.composite.value));
    expect(figure('alpha-ordinal')).toBe(of(result?.alphaOrdinal));
    const shown = (x: number): string => roundHalfUp(x, 2);
    expect(said('verdict')).toContain(shown(of(result?.composite.value)));
    expect(said('agreement')).toContain(shown(of(result?.alphaOrdinal)));
    for (const l of result?.means.leaveOneOut ?? []) {
      expect(said('sensitivity')).toContain(shown(of(l.value)));
    }
    for (const s of result?.composite.sections ?? []) {
      if ('value' in s.value) {
        expect(said('verdict')).toContain(`weight ${roundHalfUp(100 * Number(s.weight), 0)} %`);
      }
    }
    expect(record.root).toBe(facts?.root);
    expect(said('verify').replace(/\s/gu, '')).toContain(facts?.root);
  });

  test('every task: its letters, median and settled value on the datum line', () => {
    const strips = record.sections
      .flatMap((s) => s.blocks)
      .flatMap((b) => (b.kind === 'strips' ? b.rows : []));
    for (const task of TASKS) {
      const title = source.protocol.sections
        .flatMap((s) => s.tasks)
        .find((t) => t.id === task)?.title;
      const strip = strips.find((s) => s.title === title);
      expect(strip?.marks.map((m) => m.step)).toEqual(steps(task, true));
      expect(strip?.median).toBe(middle(steps(task, false)));
      const cut = task === 'fm-cut-backup';
      expect(strip?.marks.map((m) => m.counted)).toEqual([!cut, true, true]);
    }
    expect(strips.find((s) => s.how.startsWith('decided'))?.settled).toBe(2.5);
    expect(strips).toHaveLength(30);
  });
});

test('the record says from the data that no trial was recorded', () => {
  expect(said('evidence')).toContain('No trials were recorded');
  const withTrial = recordOf({
    ...source,
    trials: [recordTrial(trial({ task: 'airway-open' }))],
  });
  const evidence = withTrial.sections.find((s) => s.id === 'evidence')?.blocks.flatMap(textsOf);
  expect(evidence?.join(' ')).not.toContain('No trials were recorded');
  expect(evidence?.join(' ')).toContain('1 trial');
});

test('deviations are read from the log: an opening before all had finished, a task left open', () => {
  expect(said('deviations')).toContain('Round 1 was opened before all had finished');
  expect(said('deviations')).toContain('Left open: Opening the airway');
  expect(said('deviations')).toContain('Optional and not rated');
});

test('the settled task carries its reason, and the one who stands apart their own words', () => {
  expect(said('settlements')).toContain('Talked through at the bench with the specimen in hand.');
  expect(said('settlements')).toContain('Decided at 2.5');
  expect(said('settlements')).toMatch(/Reviewer C: 4 \(severe\)/u);
});

describe('RE-4: the reporting checklist', () => {
  test('has every item once, R01 to R37, each with one answer', () => {
    const ids = Array.from({ length: 37 }, (_, i) => `R${String(i + 1).padStart(2, '0')}`);
    expect(record.checklist.map((i) => i.id)).toEqual(ids);
  });

  test('C29 covers the fifteen items of GRRAS (Kottner 2011)', () => {
    const grras = new Set(
      record.checklist.flatMap((i) =>
        i.after
          .split(/, (?=[A-Z])/u)
          .filter((a) => a.startsWith('GRRAS'))
          .flatMap((a) => [...a.matchAll(/\d+/gu)].map(Number)),
      ),
    );
    expect([...grras].sort((x, y) => x - y)).toEqual(Array.from({ length: 15 }, (_, i) => i + 1));
  });

  test('names a section that is there and says something wherever an item is present', () => {
    for (const item of record.checklist) {
      if (item.status === 'absent') expect(item.place, item.id).toBeNull();
      else expect(said(item.place ?? '').length, item.id).toBeGreaterThan(20);
      if (item.status !== 'present') expect(item.remark, item.id).not.toBe('');
    }
  });

  test('follows the data: what was not recorded is not called present', () => {
    const status = (s: RecordSource, id: string): string =>
      recordOf(s).checklist.find((i) => i.id === id)?.status ?? '';
    expect(status(source, 'R03')).toBe('partly');
    expect(status(source, 'R16')).toBe('not-applicable');
    expect(status(source, 'R33')).toBe('absent');
    const specimen = { ...source.created.specimen, suppliedBy: 'Lent by a club (invented)' };
    expect(status({ ...source, created: { ...source.created, specimen } }, 'R33')).toBe('partly');
    const trials = [recordTrial(trial({ task: 'airway-open' }))];
    expect(status({ ...source, trials }, 'R16')).toBe('absent');
  });
});
