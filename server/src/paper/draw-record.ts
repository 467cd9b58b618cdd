import type { RecordBar, RecordBlock, RecordScale, RecordStrip } from '@unhindered/shared-types';
import { curveDrawing } from './draw-curve.ts';
import { axisCell, barDrawing, stripDrawing } from './draw-plots.ts';
import { drawTable } from './draw-table.ts';
import { drawList, drawText } from './draw-text.ts';
import {
  BODY,
  SMALL,
  SMALL_STRONG,
  STRONG,
  type Element,
  type PageFlow,
  type Style,
} from './page-flow.ts';

const VERDICT: Style = { bold: true, size: 15, leading: 19 };

type Of<K extends RecordBlock['kind']> = Extract<RecordBlock, { kind: K }>;

const drawVerdict = (flow: PageFlow, parent: Element, block: Of<'verdict'>): void => {
  const from = flow.y;
  drawText(flow, parent, block.text, {
    style: VERDICT,
    x: flow.left + 16,
    width: flow.width - 16,
    after: 2,
  });
  const height = flow.y - from;
  flow.artifact(() => {
    flow.doc
      .rect(flow.left, from - 3, 6, height + 4)
      .fillColor('black')
      .fill();
    if (!block.blocked) return;
    const middle = from + height / 2;
    flow.doc.moveTo(flow.left - 4, middle + 5).lineTo(flow.left + 10, middle - 5);
    flow.doc.lineWidth(4).strokeColor('white').stroke();
  });
  flow.y += 10;
};

const drawFacts = (flow: PageFlow, parent: Element, block: Of<'facts'>): void =>
  drawTable(flow, parent, {
    caption: '',
    head: [],
    whole: true,
    widths: [0.28, 0.72],
    rows: block.rows.map((r) => [{ paragraphs: [r.term] }, { paragraphs: [r.text] }]),
  });

const drawBars = (flow: PageFlow, parent: Element, block: Of<'bars'>): void => {
  const row = (bar: RecordBar) => [
    { paragraphs: [bar.label] },
    { paragraphs: [], drawing: barDrawing(flow, block.scale, bar) },
    { paragraphs: [bar.text], style: bar.value === null ? SMALL : STRONG },
    { paragraphs: [bar.note] },
  ];
  drawTable(flow, parent, {
    caption: block.caption,
    head: [
      { paragraphs: [''] },
      axisCell(flow, block.scale),
      { paragraphs: [''] },
      { paragraphs: [''] },
    ],
    widths: [0.28, 0.32, 0.1, 0.3],
    rows: block.rows.map(row),
    ruled: false,
  });
};

/** The alternative text of a strip: the ratings by letter and what became of them. */
const stripAlt = (s: RecordStrip): string =>
  [
    s.marks
      .map((m) => `${m.letter} ${String(m.step)}${m.counted ? '' : ' not counted'}`)
      .join(', ') || 'no rating on the scale',
    `settled ${s.settledText}`,
  ].join('; ');

const stripNote = (s: RecordStrip): string =>
  [s.note, s.divergent ? 'diverged' : '', s.blocked ? 'care was blocked' : '']
    .filter((t) => t !== '')
    .join('; ');

const drawStrips = (flow: PageFlow, parent: Element, block: Of<'strips'>): void => {
  const scale: RecordScale = block.scale;
  drawTable(flow, parent, {
    caption: block.caption,
    head: [
      { paragraphs: ['Task'] },
      axisCell(flow, scale),
      { paragraphs: ['Settled'] },
      { paragraphs: ['How'] },
    ],
    widths: [0.31, 0.36, 0.1, 0.23],
    rows: block.rows.map((s) => [
      { paragraphs: [s.title, stripNote(s)].filter((t) => t !== '') },
      { paragraphs: [], drawing: stripDrawing(flow, scale, s, stripAlt(s)) },
      { paragraphs: [s.settledText], style: STRONG },
      { paragraphs: [s.how] },
    ]),
  });
};

const drawCurve = (flow: PageFlow, parent: Element, block: Of<'curve'>): void => {
  const { alt, height, draw } = curveDrawing(flow, block);
  flow.ensure(height + 2 * SMALL_STRONG.leading);
  drawText(flow, parent, block.caption, { style: SMALL_STRONG, after: 3 });
  const content = flow.content('Figure', () => draw(flow.left, flow.y, flow.width));
  const bbox = [flow.left, flow.y, flow.left + flow.width, flow.y + height];
  parent.add(flow.element('Figure', { alt: flow.printable(alt), ...{ bbox } }, [content]));
  flow.y += height + 6;
};

const TONES = { plain: BODY, strong: STRONG, quiet: SMALL } as const;

/** Draws one block of the record under its section. */
export const drawBlock = (flow: PageFlow, parent: Element, block: RecordBlock): void => {
  switch (block.kind) {
    case 'text':
      drawText(flow, parent, block.text, { style: TONES[block.tone] });
      return;
    case 'heading':
      flow.ensure(60);
      parent.add(
        flow.element('H3', {}, [
          flow.content('H3', () =>
            flow.line(flow.printable(block.text), flow.left, flow.y, STRONG),
          ),
        ]),
      );
      flow.y += STRONG.leading + 2;
      return;
    case 'list':
      drawList(flow, parent, block.items);
      return;
    case 'facts':
      drawFacts(flow, parent, block);
      return;
    case 'verdict':
      drawVerdict(flow, parent, block);
      return;
    case 'bars':
      drawBars(flow, parent, block);
      return;
    case 'curve':
      drawCurve(flow, parent, block);
      return;
    case 'strips':
      drawStrips(flow, parent, block);
      return;
    case 'table':
      drawTable(flow, parent, {
        caption: block.caption,
        head: block.head.map((text) => ({ paragraphs: [text] })),
        widths: block.widths,
        rows: block.rows.map((row) => row.map((paragraphs) => ({ paragraphs }))),
      });
  }
};
