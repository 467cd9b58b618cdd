import { beforeAll, describe, expect, test } from 'vitest';
import type { RecordDocument } from '../../../shared-types/src/index.ts';
import { paperFonts } from '../../../server/src/adapters/paper-fonts.ts';
import { breakLines } from '../../../server/src/paper/line-break.ts';
import { recordPaper } from '../../../server/src/paper/record-paper.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { noPoppler, poppler } from '../../support/paper-of.ts';

let record: RecordDocument;
let pdf: Uint8Array;
const latin = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1');

beforeAll(async () => {
  record = buildRecord((await lockedBundle()).bytes);
  pdf = await recordPaper(record, 'a4', paperFonts());
}, 60_000);

describe('RE-5: a tagged file', () => {
  test('with a structure tree, language, title, bookmarks and words for every plot', () => {
    const text = latin(pdf);
    expect(text).toMatch(/\/MarkInfo \d+ 0 R/u);
    expect(text).toContain('/Marked true');
    expect(text).toMatch(/\/StructTreeRoot \d+ 0 R/u);
    expect(text).toContain('/Lang (en)');
    expect(text).toContain('/DisplayDocTitle true');
    expect(text.match(/\/S \/H1/gu)).toHaveLength(1);
    expect(text.match(/\/S \/H2/gu)).toHaveLength(record.sections.length);
    for (const tag of ['Table', 'TR', 'TH', 'TD', 'L', 'LI', 'LBody', 'P', 'Figure', 'Caption']) {
      expect(text, tag).toMatch(new RegExp(`/S /${tag}\\b`, 'u'));
    }
    const plots = record.sections
      .flatMap((s) => s.blocks)
      .flatMap((b): unknown[] => (b.kind === 'strips' || b.kind === 'bars' ? b.rows : []));
    expect(text.match(/\/S \/Figure/gu)).toHaveLength(plots.length);
    expect(text.match(/\/Alt /gu)).toHaveLength(plots.length);
    expect(text).toMatch(/\/Outlines \d+ 0 R/u);
  });

  test.skipIf(noPoppler())(
    'another reader finds title, sections in reading order, a scope at every head cell',
    () => {
      const facts = poppler('pdfinfo', pdf);
      expect(facts).toMatch(/^Tagged: +yes$/mu);
      expect(facts).toMatch(/^Suspects: +no$/mu);
      expect(facts).toMatch(/^Title: +Heron 3: panel rating and agreement record$/mu);
      const tree = poppler('pdfinfo', pdf, ['-struct-text']).split('\n');
      const named = tree.flatMap((l) => /^ {2}Sect "(.*)"$/u.exec(l)?.[1] ?? []);
      expect(named).toEqual(record.sections.map((s) => s.title));
      // Each heading is the first thing in its section, in the order of the record.
      const headings = tree.flatMap((l, i) =>
        /^ {4}H2 \(block\)$/u.test(l) ? [tree[i + 1]?.trim()] : [],
      );
      expect(headings).toEqual(record.sections.map((s) => `"${String(s.number)} ${s.title}"`));
      const heads = tree.flatMap((l, i) => (/^ +TH/u.test(l) ? [tree[i + 1] ?? ''] : []));
      expect(heads.length).toBeGreaterThan(100);
      expect(heads.filter((l) => !/\/Scope \/(?:Column|Row)$/u.test(l))).toEqual([]);
      // The verdict stands in the tree as text.
      const first = JSON.stringify(record.sections[0]?.blocks[0]);
      const said = /"text":"([^"]+)"/u.exec(first)?.[1] ?? '?';
      expect(tree.join('\n')).toContain(said);
    },
  );

  test('the same bytes on a second build, others for another record', async () => {
    expect(Buffer.from(await recordPaper(record, 'a4', paperFonts())).equals(pdf)).toBe(true);
    const other = await recordPaper({ ...record, title: 'Another' }, 'a4', paperFonts());
    expect(Buffer.from(other).equals(pdf)).toBe(false);
  }, 60_000);

  test('no date in it but that of the lock', () => {
    const dates = [...latin(pdf).matchAll(/\(D:(\d{14})Z\)/gu)].map((m) => m[1]);
    expect(dates.length).toBeGreaterThan(0);
    expect(new Set(dates)).toEqual(new Set([record.lockedAt.replace(/\D/gu, '').slice(0, 14)]));
  });

  test.skipIf(noPoppler())(
    'embedded fonts only, on A4 and on Letter',
    async () => {
      const fonts = poppler('pdffonts', pdf).trim().split('\n').slice(2);
      expect(fonts).toHaveLength(2);
      for (const line of fonts) expect(line).toMatch(/AtkinsonHyperlegibleNext.* yes yes yes /u);
      expect(poppler('pdfinfo', pdf)).toMatch(/Tagged: +yes[\s\S]*595\.28 x 841\.89/u);
      const letter = await recordPaper(record, 'letter', paperFonts());
      expect(poppler('pdfinfo', letter)).toMatch(/612 x 792/u);
    },
    60_000,
  );

  test.skipIf(noPoppler())('its text can be read out, section by section, in order', () => {
    const text = poppler('pdftotext', pdf, ['-raw']).replace(/\s+/gu, ' ');
    let at = 0;
    for (const s of record.sections) {
      const found = text.indexOf(`${String(s.number)} ${s.title}`, at);
      expect(found, s.title).toBeGreaterThanOrEqual(at);
      at = found;
    }
    expect(text).toContain('Opening the airway');
    expect(text.replace(/\s/gu, '')).toContain(record.root);
  });
});

test('hostile text: nothing is lost, torn from the page or drawn as an empty box', async () => {
  const long = `${'word '.repeat(3000)}${'x'.repeat(4000)} 中文 \u{1f3c8} end`;
  const hostile: RecordDocument = {
    ...record,
    invented: true,
    sections: [
      {
        id: 'settlements',
        number: 1,
        title: 'Long',
        blocks: [
          { kind: 'text', text: long, tone: 'plain' },
          { kind: 'list', items: [long, ''] },
          {
            kind: 'table',
            caption: '',
            head: ['A', 'B'],
            widths: [0.3, 0.7],
            rows: [
              [['a'], [long, long]],
              [[], []],
            ],
          },
        ],
      },
    ],
  };
  const made = await recordPaper(hostile, 'letter', paperFonts());
  if (noPoppler()) return;
  const text = poppler('pdftotext', made, ['-raw']);
  expect(text.match(/\bword\b/gu)).toHaveLength(4 * 3000);
  expect(text.match(/x/gu)?.length).toBeGreaterThanOrEqual(4 * 4000);
  expect(text.replace(/\s/gu, '')).toContain('[U+4E2D][U+6587][U+1F3C8]end');
  expect(text).toContain('Invented demonstration material');
}, 60_000);

test('lines hold the words of the text in order and no more than fits', () => {
  const measure = (t: string): number => t.length;
  const text = 'one two  three\nfour fiveandmorethanten six';
  const lines = breakLines(text, 10, measure);
  expect(lines).toEqual(['one two', 'three', 'four', 'fiveandmor', 'ethanten', 'six']);
  expect(breakLines('', 10, measure)).toEqual(['']);
});
