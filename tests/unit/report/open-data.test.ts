import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { analyse } from '../../../server/src/analysis/analyse.ts';
import { ratingSource } from '../../../server/src/analysis/rating-source.ts';
import { readRatingList } from '../../../server/src/analysis/read-rating-list.ts';
import { seededChance } from '../../../server/src/analysis/seeded-chance.ts';
import { recordOf } from '../../../server/src/report/build-record.ts';
import type { DataFile } from '../../../server/src/report/open-data/columns.ts';
import { exportFiles } from '../../../server/src/report/open-data/export-files.ts';
import { plainText, safeText } from '../../../server/src/report/open-data/text-cell.ts';
import { readSource, type RecordSource } from '../../../server/src/report/record-source.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { failed, recordTrial, trial } from '../../support/trials.ts';

let source: RecordSource;
let files: DataFile[];
const rowsOf = (name: string): Record<string, string>[] => {
  const text = files.find((f) => f.name === name)?.text ?? '';
  return parse<Record<string, string>>(text, { columns: true });
};

beforeAll(async () => {
  source = readSource((await lockedBundle()).bytes);
  files = exportFiles(source);
});

const sign = fc.constantFrom('=', '+', '-', '@', '\t', '\r', '\n', "'", '＝', 'a', '1', '"', ',');

test('RE-6: no text runs as a formula, and every text comes back as it was written', () => {
  fc.assert(
    fc.property(
      fc.oneof(
        fc.array(sign).map((s) => s.join('')),
        fc.string(),
      ),
      (text) => {
        const cell = safeText(text);
        expect(cell).not.toMatch(/^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/u);
        expect(plainText(cell)).toBe(text);
        const [row] = parse(`"${cell.replaceAll('"', '""')}"\n`);
        expect(row?.map(plainText)).toEqual([text]);
      },
    ),
    { seed: 71, numRuns: 2000 },
  );
});

test('RE-6: a note that is a formula leaves the file as text', () => {
  const events = source.events.map((e) =>
    e.type === 'sheet-recorded'
      ? {
          ...e,
          data: {
            ...e.data,
            ratings: e.data.ratings.map((r) => ({ ...r, rating: { ...r.rating, note: '=1+2' } })),
          },
        }
      : e,
  );
  files = exportFiles({ ...source, events });
  const notes = rowsOf('ratings.csv').map((r) => r['note'] ?? '');
  files = exportFiles(source);
  expect(new Set(notes)).toEqual(new Set(["'=1+2"]));
  expect(plainText(notes[0] ?? '')).toBe('=1+2');
});

test('one row a rating: those that stand are the ratings of the record, counted as there', () => {
  const rows = rowsOf('ratings.csv');
  expect(rows).toHaveLength(16);
  const standing = rows.filter((r) => r['stands'] === 'yes');
  const expected = source.standings.flatMap((t) =>
    t.ratings.map((r) => ({
      task: t.task,
      seat: r.seat,
      step: String(r.rating.step),
      counted: r.counted ? 'yes' : 'no',
    })),
  );
  const key = (r: { task: string | undefined; seat: string | undefined }): string =>
    `${r.task ?? ''} ${r.seat ?? ''}`;
  const picked = standing.map(({ task, seat, step, counted }) => ({ task, seat, step, counted }));
  expect(picked.toSorted((a, b) => key(a).localeCompare(key(b)))).toEqual(
    expected.toSorted((a, b) => key(a).localeCompare(key(b))),
  );
});

test('one row an event, and its content comes back as the event says', () => {
  const rows = rowsOf('events.csv');
  expect(rows).toHaveLength(source.bundle.events.length);
  rows.forEach((row, i) => {
    const event = JSON.parse(source.bundle.events[i] ?? '') as Record<string, unknown>;
    expect(JSON.parse(plainText(row['data'] ?? ''))).toEqual(event['data']);
    expect(row['type']).toBe(event['type']);
    expect(row['at']).toBe(event['at']);
  });
});

test('one row a task, with the locked figures', () => {
  const rows = rowsOf('tasks.csv');
  expect(rows).toHaveLength(30);
  for (const t of source.result.tasks) {
    const row = rows.find((r) => r['task'] === t.task);
    const settled = 'value' in t.settled ? Number(t.settled.value) : null;
    expect(row?.['settled'] === '' ? null : Number(row?.['settled'])).toBe(settled);
    expect(row?.['n']).toBe(String(t.n));
  }
});

test('the dictionary tells every column of every file, and how formulas were made safe', () => {
  const dictionary = rowsOf('dictionary.csv');
  for (const f of files.filter((x) => x.name !== 'dictionary.csv')) {
    const told = dictionary.filter((d) => d['file'] === f.name && d['column'] !== '');
    expect(told.map((d) => d['column'])).toEqual(f.text.split('\n', 1)[0]?.split(','));
    expect(told.every((d) => (d['meaning'] ?? '').length > 5)).toBe(true);
  }
  expect(dictionary.find((d) => d['file'] === '*')?.['meaning']).toContain('apostrophe');
});

test('there is a file of trials only when there are trials', () => {
  expect(files.map((f) => f.name)).not.toContain('trials.csv');
  const trials = [
    recordTrial(failed({ note: '=HYPERLINK("x")' })),
    recordTrial(
      trial({ measures: [{ measure: 's_fm', value: '50', counts: { successes: 1, of: 2 } }] }),
      {
        status: 'void',
        voidReason: 'The tool fell.',
      },
    ),
  ];
  const file = exportFiles({ ...source, trials }).find((f) => f.name === 'trials.csv');
  const [head, first, second] = file?.text.split('\n') ?? [];
  expect(head).toMatch(
    /^event,at,entered_at,task,state,condition,operator,done,seconds,splits,criterion_met,/u,
  );
  expect(first).toContain(',as-worn,equipment,K1,no,180,,yes,,counts,,,');
  expect(first).toContain(`"'=HYPERLINK(""x"")"`);
  expect(second).toContain(',yes,60,,no,s_fm=50 (1/2),void,,The tool fell.,');
});

test('RE-9: invented material says so in every row of every file, and other material in none', () => {
  const protocol = { ...source.protocol, invented: true };
  const trials = [recordTrial(trial({}))];
  const marked = exportFiles({ ...source, protocol, trials });
  expect(marked.map((f) => f.name)).toContain('trials.csv');
  for (const f of marked.filter((m) => m.name !== 'dictionary.csv')) {
    const rows = parse<Record<string, string>>(f.text, { columns: true });
    expect(rows.length, f.name).toBeGreaterThan(0);
    expect([...new Set(rows.map((r) => r['invented']))], f.name).toEqual(['yes']);
  }
  expect(marked.at(-1)?.text).toContain('Invented demonstration material');
  for (const f of files) expect(f.text.split('\n')[0], f.name).not.toContain('invented');
  const text = marked.find((f) => f.name === 'counted.csv')?.text ?? '';
  expect(readRatingList(text, source.protocol.scale)).toMatchObject({ ok: true });
});

test('`analyse` reads the counted ratings back and finds the agreement of the record', () => {
  const text = files.find((f) => f.name === 'counted.csv')?.text ?? '';
  const { scale } = source.protocol;
  const list = readRatingList(text, scale);
  if (!list.ok) throw new Error(list.faults.map((f) => f.fault).join('; '));
  const analysis = analyse(ratingSource(list.ratings, scale), seededChance(1), {
    exploratory: false,
  });
  const figure = (id: string): number => {
    const value = recordOf(source).figures.find((f) => f.id === id)?.value;
    return value && 'value' in value ? Number(value.value) : Number.NaN;
  };
  expect(analysis.agreement.alpha.ordinal).toBeCloseTo(figure('alpha-ordinal'), 10);
  expect(analysis.agreement.within_one_pairs).toBeCloseTo(figure('pairs-within-one'), 10);
  expect(analysis.agreement.exact_pairs).toBeCloseTo(figure('pairs-exact'), 10);
  expect(analysis.agreement.ac2_quadratic).toBeCloseTo(figure('ac2-quadratic'), 10);
  expect(analysis.dependability.phi).toBeCloseTo(figure('dependability-phi'), 10);
});
