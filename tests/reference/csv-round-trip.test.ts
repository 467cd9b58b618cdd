import { beforeAll, describe, expect, test } from 'vitest';
import { analyse } from '../../server/src/analysis/analyse.ts';
import { ratingSource } from '../../server/src/analysis/rating-source.ts';
import { readPaperList } from '../../server/src/analysis/read-paper-list.ts';
import { readRatingList } from '../../server/src/analysis/read-rating-list.ts';
import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import type { EvaluationState } from '../../server/src/evaluation/state.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { buildRecord } from '../../server/src/report/build-record.ts';
import { exportFiles } from '../../server/src/report/open-data/export-files.ts';
import { plainText, safeText } from '../../server/src/report/open-data/text-cell.ts';
import { readSource } from '../../server/src/report/record-source.ts';
import { demoWorkspace, type DemoWorkspace } from '../support/demo-workspace.ts';
import { bringIn, lockedFromPaper, type Who } from '../support/from-paper.ts';
import { lockedBundle } from '../support/locked-bundle.ts';
import { readCsv } from '../support/read-csv.ts';
import { readDay } from '../support/recount/day.ts';
import { expectedFiles } from '../support/recount/open-data.ts';
import { accepted, seatedPanel } from '../support/seated-panel.ts';
import { testApp } from '../support/test-app.ts';
import { recordWithTrials } from '../support/trial-record.ts';
import { protocol } from '../support/trials.ts';

let demo: DemoWorkspace;
beforeAll(async () => {
  demo = await demoWorkspace();
}, 120_000);

const filesOf = (bytes: Uint8Array): Map<string, string> =>
  new Map(exportFiles(readSource(bytes)).map((f) => [f.name, f.text]));

/** Texts that break careless files: quotes, commas, lines, signs of formulas, apostrophes, scripts, marks, emoji. */
const HOSTILE = [
  '=HYPERLINK("https://example.invalid","see")',
  '+1+2',
  '-2+3',
  '@SUM(A1:A9)',
  "'=already guarded",
  "''twice",
  "'just a quotation",
  'a "quoted" word, with a comma; and a semicolon',
  'two\nlines\n\nand an empty one',
  '＝full width',
  '\u00e9 as one sign, e\u0301 as two',
  'שלום, مرحبا, 你好, 👩🏽‍⚕️',
  'ends with a quote"',
  '"',
  ',,,',
  `${'long "quoted" line,\n'.repeat(90)}end`,
];

const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

/** A file of a paper panel: a hostile note on each task, and answers off the scale. */
const hostileFile = (): string => {
  const tasks = protocol.sections.flatMap((s) => s.tasks).slice(0, HOSTILE.length);
  const lines = tasks.flatMap((t, i) => [
    [t.id, 'Ana', String(i % 5), '', HOSTILE[i] ?? ''],
    [t.id, 'Ben', i === 3 ? '' : String((i * 2) % 5), i === 3 ? 'not-observed' : '', ''],
    [t.id, 'Cem', i === 5 ? 'n/a' : '2', '', `of ${t.id}`],
  ]);
  const rows = lines.map(([task, who, rating, answer, note]) =>
    [
      task,
      who,
      rating,
      answer,
      rating === 'n/a' ? quoted('It, "too", is gone') : '',
      quoted(safeText(note ?? '')),
    ].join(','),
  );
  return ['task,reviewer,rating,answer,reason,note', ...rows, ''].join('\n');
};

/** Tasks at whose worst point somebody stands and that can gate. */
const owingGates = ({ ratings }: EvaluationState): string[] =>
  protocol.sections
    .flatMap((t) => t.tasks)
    .filter((t) => t.critical !== null)
    .filter((t) => [...(ratings.get(t.id)?.values() ?? [])].some((r) => r.rating.step === 5))
    .map((t) => t.id);

/** Ratings of a file brought into a draft, all adopted and locked. */
const importedAndLocked = async (csv: string, who: Who): Promise<Uint8Array> => {
  const test = testApp();
  const panel = await seatedPanel(test.app, 0);
  accepted(await bringIn(test.app, panel, csv, who));
  const { moderator, act } = panel;
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  const { state } = await panel.live();
  for (const [task, given] of state.ratings) {
    const some = [...given.values()].some((r) => r.rating.step !== null);
    if (!some || state.settled.has(task)) continue;
    const settle = { type: 'settle-task', how: 'adopt', value: null } as const;
    accepted(await act(moderator, { ...settle, task, reason: 'Read again, and kept.' }));
  }
  for (const t of owingGates(state)) {
    const decide = { type: 'decide-gate', task: t, confirm: false } as const;
    accepted(await act(moderator, { ...decide, reason: 'The hands got there in the end.' }));
  }
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(test.app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return bundle.value;
};

const PAPER_PANEL = { Ana: null, Ben: null, Cem: null };

const DAYS: [name: string, make: () => Promise<Uint8Array>][] = [
  ['two rounds and a tie', async () => (await lockedBundle()).bytes],
  ['trials of every kind', async () => (await recordWithTrials()).bytes],
  ['ratings from paper', async () => (await lockedFromPaper()).bytes],
  ['hostile notes', () => importedAndLocked(hostileFile(), PAPER_PANEL)],
  ...['d1', 'd3', 'd5', 'd7'].map((piece): [string, () => Promise<Uint8Array>] => [
    `the invented piece ${piece}, late and corrected ratings and all`,
    () => demo.bundle(piece),
  ]),
];

describe('RE-6: every file of the open data, whole, both ways', () => {
  test.each(DAYS)('%s: every row and cell is what the bundle says', async (_, make) => {
    const bytes = await make();
    const files = filesOf(bytes);
    const expected = expectedFiles(readDay(bytes));
    expect([...files.keys()]).toEqual([...expected.map((f) => f.name), 'dictionary.csv']);
    for (const { name, head, rows } of expected) {
      const read = readCsv(files.get(name) ?? '');
      expect(read.head, name).toEqual(head);
      expect(read.rows, name).toEqual(rows);
      expect(rows.length, name).toBeGreaterThan(0);
    }
  });

  test.each(DAYS)('%s: each cell is of the kind that the dictionary says', async (_, make) => {
    const files = filesOf(await make());
    const dictionary = readCsv(files.get('dictionary.csv') ?? '').rows;
    for (const [name, text] of files) {
      if (name === 'dictionary.csv') continue;
      const { head, rows } = readCsv(text);
      const told = dictionary.filter(([file, column]) => file === name && column !== '');
      expect(told.map((d) => d[1])).toEqual(head);
      const kinds: Record<string, RegExp> = {
        number: /^(?:-?\d+(?:\.\d+)?(?:e-\d+)?)?$/u,
        'yes-no': /^(?:yes|no)?$/u,
        time: /^(?:\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z)?$/u,
        id: /^\S*$/u,
      };
      rows.forEach((row) =>
        row.forEach((cell, i) => {
          const kind = kinds[told[i]?.[2] ?? ''];
          if (kind) expect(cell, `${name} ${head[i] ?? ''}`).toMatch(kind);
          // Nothing of any kind runs as a formula; a number below zero is a number.
          if (!/^-\d/u.test(cell) || !kind) expect(cell).not.toMatch(/^[=+\-@\t\r\n＝＋－＠]/u);
        }),
      );
    }
  });

  test('hostile notes come back as they were written', async () => {
    const { head, rows } = readCsv(
      filesOf(await importedAndLocked(hostileFile(), PAPER_PANEL)).get('ratings.csv') ?? '',
    );
    const notes = rows
      .filter((r) => r[head.indexOf('reviewer')] === 'A')
      .map((r) => plainText(r[head.indexOf('note')] ?? ''));
    expect(notes).toEqual(HOSTILE.map((h) => h.normalize('NFC').trim()));
  });

  test('a cell of 200 kB is one cell, with every kind of sign in it', async () => {
    const source = readSource((await lockedBundle()).bytes);
    const note = `=${'"Wide", \n'.repeat(25_000)}`;
    const events = source.events.map((e) =>
      e.type === 'task-settled' ? { ...e, data: { ...e.data, reason: note } } : e,
    );
    const files = exportFiles({ ...source, events });
    const { head, rows } = readCsv(files.find((f) => f.name === 'events.csv')?.text ?? '');
    const settled = rows.filter((r) => r[head.indexOf('type')] === 'task-settled');
    expect(settled.length).toBeGreaterThan(2);
    for (const r of settled) {
      expect(JSON.parse(plainText(r[head.indexOf('data')] ?? ''))).toMatchObject({ reason: note });
    }
  });

  test('a note of 200 kB in a file to be brought in is a fault at its line, and the other lines are read', () => {
    const csv = `task,reviewer,rating,note\nairway-open,Ana,1,${quoted('"x",\n'.repeat(40_000))}\npulse-check,Ana,2,fine\n`;
    const { faults, rows } = readPaperList(csv, protocol);
    expect(faults).toMatchObject([{ column: 'note', fault: 'the note cannot be kept' }]);
    expect(rows.map((r) => r.task)).toEqual(['pulse-check']);
  });
});

const figuresOf = (bytes: Uint8Array): Map<string, number> =>
  new Map(
    buildRecord(bytes).figures.map(({ id, value }) => [
      id,
      'value' in value ? Number(value.value) : Number.NaN,
    ]),
  );

/** Ratings of a file without what another evaluation must have of its own: ids, numbers, times of the server. */
const comparable = (bytes: Uint8Array): string[][] => {
  const { head, rows } = readCsv(filesOf(bytes).get('ratings.csv') ?? '');
  const own = ['evaluation', 'event', 'recorded_at', 'seat', 'source', 'changed'];
  return rows
    .filter((r) => r[head.indexOf('stands')] === 'yes')
    .map((r) => r.filter((_, i) => !own.includes(head[i] ?? '')))
    .toSorted((a, b) => (a.join() < b.join() ? -1 : 1));
};

describe('PA-4: ratings exported, brought in from paper, locked and exported again', () => {
  test('from paper with hostile notes: the same ratings, composite and agreement', async () => {
    const first = await importedAndLocked(hostileFile(), PAPER_PANEL);
    const csv = filesOf(first).get('ratings.csv') ?? '';
    const second = await importedAndLocked(csv, { A: null, B: null, C: null });
    expect(comparable(second)).toEqual(comparable(first));
    expect(comparable(first).length).toBeGreaterThan(40);
    expect(figuresOf(second)).toEqual(figuresOf(first));
    expect(figuresOf(first).get('composite')).toBeGreaterThan(0);
  });

  test('of a panel that rated here, ties left out: what everybody rated, and its figures', async () => {
    const first = (await lockedBundle()).bytes;
    const csv = filesOf(first).get('ratings.csv') ?? '';
    const second = await importedAndLocked(csv, { A: null, B: null, C: null });
    const plain = (rows: string[][]): string[][] => rows.map((r) => r.slice(0, -2));
    expect(plain(comparable(second))).toEqual(plain(comparable(first)));
    // Nobody declares a tie on paper, and nothing was decided: the composite of all medians and means.
    const [a, b] = [figuresOf(first), figuresOf(second)];
    expect(b.get('composite')).toBeCloseTo(a.get('composite-of-medians-with-interests') ?? 0, 11);
    expect(b.get('composite-of-means')).toBeCloseTo(
      a.get('composite-of-means-with-interests') ?? 0,
      11,
    );
  });
});

describe('`analyse` finds in the counted ratings what the record says', () => {
  test.each(DAYS)('%s', async (_, make) => {
    const bytes = await make();
    const { scale } = JSON.parse(readDay(bytes).bundle.protocol) as typeof protocol;
    const list = readRatingList(filesOf(bytes).get('counted.csv') ?? '', scale);
    if (!list.ok) throw new Error(list.faults.map((f) => f.fault).join('; '));
    const found = analyse(ratingSource(list.ratings, scale), seededChance(1), {
      exploratory: false,
    });
    const says = figuresOf(bytes);
    const same = (got: number | null, id: string): void => {
      if (got === null) expect(says.get(id), id).toBeNaN();
      else expect(got, id).toBeCloseTo(says.get(id) ?? Number.NaN, 9);
    };
    same(found.agreement.alpha.ordinal, 'alpha-ordinal');
    same(found.agreement.within_one_pairs, 'pairs-within-one');
    same(found.agreement.exact_pairs, 'pairs-exact');
    same(found.agreement.ac2_quadratic, 'ac2-quadratic');
    same(found.dependability.phi, 'dependability-phi');
    same(found.dependability.reviewers_for_phi_80, 'reviewers-for-phi-80');
    same(found.composite.value, 'composite-of-means');
    same(found.composite.of_medians, 'composite-of-medians');
    const { means, composite } = readSource(bytes).result;
    const limits = 'lower' in means.interval ? means.interval : null;
    for (const end of ['lower', 'upper'] as const) {
      if (limits) expect(found.composite[end]).toBeCloseTo(Number(limits[end]), 9);
      else expect(found.composite[end]).toBeNull();
    }
    const left = new Map(found.composite.leave_one_out.map((l) => [l.reviewer, l.value]));
    const letters = readSource(bytes).state.seats;
    for (const l of means.leaveOneOut) {
      const value = left.get(letters.get(l.seat)?.letter ?? '');
      if ('value' in l.value) expect(value).toBeCloseTo(Number(l.value.value), 9);
      else expect(value).toBeNull();
    }
    const rated = composite.sections.filter((s) => s.rated > 0);
    expect(found.composite.sections.map((s) => s.section).toSorted()).toEqual(
      rated.map((s) => s.section).toSorted(),
    );
    for (const s of found.composite.sections) {
      const own = rated.find((x) => x.section === s.section)?.weight;
      expect(s.weight).toBeCloseTo(Number(own), 9);
    }
  });
});
