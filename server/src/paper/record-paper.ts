import type { RecordDocument, RecordSection } from '@unhindered/shared-types';
import { drawBlock } from './draw-record.ts';
import { drawText, textContent } from './draw-text.ts';
import {
  BODY,
  PageFlow,
  SMALL,
  SMALL_STRONG,
  STRONG,
  type Element,
  type Paper,
  type PaperFonts,
  type Style,
} from './page-flow.ts';

const TITLE: Style = { bold: true, size: 22, leading: 26 };
const SECTION: Style = { bold: true, size: 13, leading: 17 };

const INVENTED = 'Invented demonstration material';

const drawHead = (flow: PageFlow, root: Element, record: RecordDocument): void => {
  const part = flow.element('Sect');
  root.add(part);
  part.add(
    flow.element('H1', {}, textContent(flow, 'H1', record.title, { style: TITLE, after: 3 })),
  );
  drawText(flow, part, record.subtitle, { style: BODY, after: 6 });
  if (record.invented)
    drawText(flow, part, `${INVENTED}. All names and data are made up.`, { style: STRONG });
  flow.artifact(() => flow.rule(flow.left, flow.y, flow.width, 1.4));
  flow.y += 14;
  part.end();
};

const drawSection = (flow: PageFlow, root: Element, section: RecordSection): void => {
  flow.ensure(110);
  const part = flow.element('Sect', { title: section.title });
  root.add(part);
  const heading = `${String(section.number)}  ${section.title}`;
  flow.doc.outline.addItem(heading);
  part.add(flow.element('H2', {}, textContent(flow, 'H2', heading, { style: SECTION, after: 5 })));
  for (const block of section.blocks) drawBlock(flow, part, block);
  part.end();
  flow.y += 8;
};

const runningLines = (flow: PageFlow, record: RecordDocument): void => {
  const foot = flow.bottom + 18;
  const head = `Head ${record.root.replace(/(.{4})(?=.)/gu, '$1 ').slice(0, 39)} …`;
  const title = flow.lines(record.title, SMALL_STRONG, flow.width * 0.62)[0] ?? '';
  flow.eachPage((page, of) => {
    flow.artifact(() => {
      const number = `Page ${String(page)} of ${String(of)}`;
      flow.rule(flow.left, foot - 6, flow.width, 0.4);
      flow.line(record.evaluation, flow.left, foot, SMALL);
      flow.line(head, flow.left, foot + SMALL.leading, SMALL);
      const right = flow.left + flow.width;
      flow.line(number, right - flow.widthOf(number, SMALL), foot, SMALL);
      if (page > 1) flow.line(title, flow.left, flow.top - 26, SMALL_STRONG);
      if (record.invented) {
        flow.line(
          INVENTED,
          right - flow.widthOf(INVENTED, SMALL_STRONG),
          flow.top - 26,
          SMALL_STRONG,
        );
      }
    }, 'Pagination');
  });
};

/**
 * RE-8: a file calls itself PDF/UA-1 only where that can hold: the words of the protocol stand in the record's sentences,
 * and another language among them would have to be declared word by word.
 */
const speaksOneLanguage = ({ language, protocolLanguage }: RecordDocument): boolean =>
  protocolLanguage.split('-')[0] === language;

/**
 * RE-5: the record as a tagged PDF: a structure tree in reading order, language and title set, bookmarks, words
 * for every plot, both cuts of the typeface embedded, black on white. Dates and file id come from the record, so
 * the same record gives the same bytes.
 */
export const recordPaper = async (
  record: RecordDocument,
  paper: Paper,
  fonts: PaperFonts,
): Promise<Uint8Array> => {
  const flow = new PageFlow({
    paper,
    fonts,
    title: `${record.title}: panel rating and agreement record`,
    author: record.software,
    subject: record.subtitle,
    keywords: `${record.evaluation}, head ${record.root}`,
    at: new Date(record.lockedAt),
    language: record.language,
    accessible: speaksOneLanguage(record),
  });
  const root = flow.element('Document');
  flow.doc.addStructure(root);
  drawHead(flow, root, record);
  for (const section of record.sections) drawSection(flow, root, section);
  if (flow.missing) {
    drawText(
      flow,
      root,
      'Signs that the typeface lacks stand as their Unicode code points, such as [U+4E2D]. The bundle holds them as they were written.',
      { style: SMALL },
    );
  }
  root.end();
  runningLines(flow, record);
  return flow.bytes();
};
