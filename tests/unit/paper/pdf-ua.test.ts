import { beforeAll, describe, expect, test } from 'vitest';
import type { RecordDocument } from '../../../shared-types/src/index.ts';
import { paperFonts } from '../../../server/src/adapters/paper-fonts.ts';
import { recordPaper } from '../../../server/src/paper/record-paper.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { PdfFile } from '../../support/pdf-objects.ts';
import { pdfUaFaults } from '../../support/pdf-ua-faults.ts';

let record: RecordDocument;
let pdf: Uint8Array;

beforeAll(async () => {
  const made = buildRecord((await lockedBundle()).bytes);
  // Every kind of block, and signs that mean something else in XML and PDF.
  record = {
    ...made,
    title: 'Heron & Sons <3>, "cut\\" (ä, 中)',
    sections: made.sections.map((s, i) =>
      i === 0
        ? {
            ...s,
            blocks: [
              ...s.blocks,
              {
                kind: 'curve',
                caption: 'Share with access over time',
                alt: 'Half after 30 s, all after 60 s.',
                end: 180,
                curve: [
                  { seconds: 30, probability: 0.5 },
                  { seconds: 60, probability: 1 },
                ],
                band: [{ seconds: 30, lower: 0.2, upper: 0.8 }],
              },
              { kind: 'list', items: ['One', 'word '.repeat(2500)] },
            ],
          }
        : s,
    ),
  };
  pdf = await recordPaper(record, 'a4', paperFonts());
}, 60_000);

describe('RE-8: what a machine can tell of PDF/UA-1', () => {
  test.each(['a4', 'letter'] as const)('nothing is missing on %s', async (paper) => {
    const made = paper === 'a4' ? pdf : await recordPaper(record, paper, paperFonts());
    expect([...new Set(pdfUaFaults(made))]).toEqual([]);
  });

  test('the title is the same in the file and its metadata, whatever signs it holds', () => {
    const file = new PdfFile(pdf);
    expect(file.text(file.info.get('Title'))).toContain('Heron & Sons <3>, "cut\\" (ä, 中)');
    const xml = file.stream(file.root.get('Metadata')).toString('utf8');
    expect(xml).toContain('Heron &amp; Sons &lt;3&gt;');
  });

  test('a record with words of another language does not call itself so', async () => {
    const german = { ...record, protocolLanguage: 'de' };
    const faults = pdfUaFaults(await recordPaper(german, 'a4', paperFonts()));
    expect(faults).toEqual(['the metadata does not say PDF/UA-1']);
  });

  const spoiled: [what: string, from: string | RegExp, to: string, fault: RegExp][] = [
    ['no language', '/Lang (en)', '/Long (en)', /no language/u],
    [
      'a title that is not shown',
      '/DisplayDocTitle true',
      '/DisplayDocTitle null',
      /title is not shown/u,
    ],
    ['a heading that is skipped', '/S /H2', '/S /H5', /H5 comes after H1/u],
    ['a head cell without scope', '/Scope /Row', '/Skope /Row', /TH without scope/u],
    ['a figure without words', /\/Alt \(/u, '/Olt (', /Figure without words/u],
    ['a cell outside a row', '/S /TR', '/S /TD', /TD stands in Table/u],
    ['a tag of one’s own', '/S /Sect', '/S /Sekt', /Sekt is no standard tag/u],
    ['another tab order', '/Tabs /S', '/Tabs /R', /another tab order/u],
    ['no promise', 'pdfuaid:part>1<', 'pdfuaid:part>2<', /does not say PDF\/UA-1/u],
    ['a font without its text', '/ToUnicode', '/ToUnikode', /no ToUnicode/u],
    [
      'a list whose labels have no kind',
      '/ListNumbering',
      '/ListNumbaring',
      /without ListNumbering/u,
    ],
    ['not marked', '/Marked true', '/Marked null', /not marked/u],
  ];
  test.each(spoiled)('%s is noticed', (_, from, to, fault) => {
    const text = Buffer.from(pdf).toString('latin1');
    const changed = text.replace(from, to);
    expect(changed).not.toBe(text);
    expect(changed).toHaveLength(text.length);
    expect(pdfUaFaults(Buffer.from(changed, 'latin1')).join('\n')).toMatch(fault);
  });
});
