import { SMALL, SMALL_STRONG, type Element, type PageFlow, type Style } from './page-flow.ts';

const PAD = 3.2;
const GAP = 8;
/** Space before a further paragraph of a cell. */
const PARAGRAPH = 2.5;

interface Line {
  text: string;
  before: number;
  style: Style;
}

/** A drawing that stands in a cell, in words for those who cannot see it. */
export interface CellDrawing {
  alt: string;
  height: number;
  draw: (x: number, y: number, width: number) => void;
}

export interface Cell {
  paragraphs: readonly string[];
  /** Of the first paragraph; the further ones are small print. */
  style?: Style;
  drawing?: CellDrawing;
}

export interface TableLayout {
  caption: string;
  /** None for a list of terms and texts. */
  head: readonly Cell[];
  /** Shares of the width. */
  widths: readonly number[];
  rows: readonly (readonly Cell[])[];
  /** True for a short list that is not to be torn. */
  whole?: boolean;
  /** False for rows without a rule between them. */
  ruled?: boolean;
}

interface Column {
  x: number;
  width: number;
}

const columnsOf = (flow: PageFlow, widths: readonly number[]): Column[] => {
  let x = flow.left;
  return widths.map((share, i) => {
    const width = share * flow.width;
    const column = { x, width: width - (i === widths.length - 1 ? 0 : GAP) };
    x += width;
    return column;
  });
};

const cellLines = (flow: PageFlow, cell: Cell, first: Style, width: number): Line[] =>
  cell.paragraphs.flatMap((paragraph, p) => {
    const style = p === 0 ? first : SMALL;
    return flow
      .lines(paragraph, style, width)
      .map((text, i) => ({ text, style, before: p > 0 && i === 0 ? PARAGRAPH : 0 }));
  });

const heightOf = (lines: readonly Line[]): number =>
  lines.reduce((sum, l) => sum + l.before + l.style.leading, 0);

/** One cell on its way down the pages. */
interface Run {
  cell: Cell;
  column: Column;
  lines: Line[];
  at: number;
  pieces: ReturnType<PageFlow['content']>[];
}

const runsOf = (flow: PageFlow, cells: readonly Cell[], columns: readonly Column[], style: Style) =>
  cells.flatMap((cell, i): Run[] => {
    const column = columns[i];
    if (!column) return [];
    const lines = cellLines(flow, cell, cell.style ?? style, column.width);
    return [{ cell, column, lines, at: 0, pieces: [] }];
  });

const rowHeight = (runs: readonly Run[]): number =>
  Math.max(...runs.map((r) => Math.max(heightOf(r.lines), r.cell.drawing?.height ?? 0)));

/** Draws as many lines of a cell as fit into `room`; returns the height they take. */
const drawPart = (flow: PageFlow, run: Run, room: number): number => {
  let height = 0;
  const from = run.at;
  while (run.at < run.lines.length) {
    const line = run.lines[run.at];
    const next = (line?.before ?? 0) + (line?.style.leading ?? 0);
    if (height + next > room && height > 0) break;
    height += next;
    run.at++;
  }
  const here = run.lines.slice(from, run.at);
  if (here.length === 0) return 0;
  const piece = flow.content('P', () => {
    let y = flow.y;
    here.forEach((line, i) => {
      y += line.before;
      flow.line(line.text, run.column.x, y, line.style, from + i < run.lines.length - 1);
      y += line.style.leading;
    });
  });
  run.pieces.push(piece);
  return height;
};

const drawFigure = (flow: PageFlow, { cell, column }: Run): Element | undefined => {
  const { drawing } = cell;
  if (!drawing) return undefined;
  const content = flow.content('Figure', () => drawing.draw(column.x, flow.y, column.width));
  const bbox = [column.x, flow.y, column.x + column.width, flow.y + drawing.height];
  return flow.element('Figure', { alt: flow.printable(drawing.alt), ...{ bbox } }, [content]);
};

const cellElement = (flow: PageFlow, run: Run, i: number, figure: Element | undefined): Element => {
  const inside = [
    ...(run.pieces.length > 0 ? [flow.element('P', {}, run.pieces)] : []),
    ...(figure ? [figure] : []),
  ];
  const tag = i === 0 ? 'TH' : 'TD';
  const cell = flow.element(tag, i === 0 ? { scope: 'Row' } : {}, inside);
  if (inside.length === 0) cell.end();
  return cell;
};

/** One row; it moves to the next page whole, and is split only when it is higher than a page. */
const drawRow = (flow: PageFlow, runs: Run[], table: Element, again: () => void): void => {
  const height = rowHeight(runs) + PAD;
  if (flow.y + height > flow.bottom) {
    const fits = height <= flow.bottom - flow.top - 40;
    if (fits || flow.bottom - flow.y < 60) {
      flow.newPage();
      again();
    }
  }
  const figures = runs.map((run) => drawFigure(flow, run));
  const drawn = Math.max(0, ...runs.map((r) => r.cell.drawing?.height ?? 0));
  let part = Math.max(drawn, ...runs.map((r) => drawPart(flow, r, flow.bottom - flow.y)));
  while (runs.some((r) => r.at < r.lines.length)) {
    flow.newPage();
    again();
    part = Math.max(...runs.map((r) => drawPart(flow, r, flow.bottom - flow.y)));
  }
  flow.y += part + PAD;
  const row = flow.element(
    'TR',
    {},
    runs.map((run, i) => cellElement(flow, run, i, figures[i])),
  );
  table.add(row);
};

const drawHeadCells = (flow: PageFlow, runs: readonly Run[]): void => {
  for (const run of runs) {
    let y = flow.y;
    for (const { text, style } of run.lines) {
      flow.line(text, run.column.x, y, style);
      y += style.leading;
    }
    run.cell.drawing?.draw(run.column.x, flow.y, run.column.width);
  }
};

const headElement = (flow: PageFlow, runs: readonly Run[]): Element =>
  flow.element(
    'TR',
    {},
    runs.map((run) => {
      const piece = flow.content('P', () => drawHeadCells(flow, [run]));
      const said = run.cell.drawing
        ? flow.element('Span', { actual: flow.printable(run.cell.drawing.alt) }, [piece])
        : flow.element('P', {}, [piece]);
      return flow.element('TH', { scope: 'Column' }, [said]);
    }),
  );

/** A table with its caption; the head comes again on every page, and rows are not torn. */
export const drawTable = (flow: PageFlow, parent: Element, t: TableLayout): void => {
  const columns = columnsOf(flow, t.widths);
  const head = runsOf(flow, t.head, columns, SMALL_STRONG);
  const headHeight = head.length === 0 ? 0 : rowHeight(head);
  const rows = t.rows.map((cells) =>
    runsOf(
      flow,
      cells.map((c, i) => (i === 0 && !c.style ? { ...c, style: SMALL_STRONG } : c)),
      columns,
      SMALL,
    ),
  );
  const first = rows[0] ? Math.min(rowHeight(rows[0]), 120) : 0;
  const all = rows.reduce((sum, r) => sum + rowHeight(r) + 2 * PAD, headHeight + 24);
  const keep = t.whole === true && all < (flow.bottom - flow.top) / 2;
  flow.ensure(keep ? all : 24 + headHeight + first);
  const table = flow.element('Table');
  parent.add(table);
  if (t.caption !== '') {
    const said = flow.content('Caption', () =>
      flow.line(flow.printable(t.caption), flow.left, flow.y, SMALL_STRONG),
    );
    table.add(flow.element('Caption', {}, [said]));
    flow.y += SMALL.leading + 3;
  }
  const under = (): void => {
    flow.y += headHeight + 2;
    flow.artifact(() => flow.rule(flow.left, flow.y, flow.width, 0.9));
    flow.y += PAD;
  };
  if (head.length > 0) {
    table.add(headElement(flow, head));
    under();
  }
  const again = (): void => {
    if (head.length === 0) return;
    flow.artifact(() => drawHeadCells(flow, head));
    under();
  };
  rows.forEach((runs) => {
    drawRow(flow, runs, table, again);
    if (t.ruled !== false) flow.artifact(() => flow.rule(flow.left, flow.y, flow.width, 0.3));
    flow.y += PAD;
  });
  table.end();
  flow.y += 8;
};
