import type { RecordBar, RecordScale, RecordStrip } from '@unhindered/shared-types';
import type { Cell, CellDrawing } from './draw-table.ts';
import { SMALL, SMALL_STRONG, type PageFlow, type Style } from './page-flow.ts';

const TINY: Style = { bold: true, size: 7.2, leading: 9 };
const BOX = 10.5;
const LEVEL = 11.6;
/** More letters than this on one point stand as a number. */
const MOST_LEVELS = 4;
const DATUM = 3.2;

/** Distance from the datum as a place on a line of `width` points. */
const placeOn = (scale: RecordScale, width: number) => {
  const reach = Math.max(...scale.points.map((p) => Math.abs(p.value - scale.datum)), 1);
  const inner = width - BOX - 6;
  return (value: number): number => 5 + (Math.abs(value - scale.datum) / reach) * inner;
};

const datumLine = (flow: PageFlow, x: number, y: number, height: number, cut: boolean): void => {
  const { doc } = flow;
  doc.lineWidth(DATUM).strokeColor('black');
  doc
    .moveTo(x + 1.6, y)
    .lineTo(x + 1.6, y + height)
    .stroke();
  if (!cut) return;
  // The sign of a blocked task: a slanted cut through the heavy line.
  doc.lineWidth(3).strokeColor('white');
  doc
    .moveTo(x - 4, y + height / 2 + 4)
    .lineTo(x + 7, y + height / 2 - 4)
    .stroke();
  doc.lineWidth(1).strokeColor('black');
  doc
    .moveTo(x - 4, y + height / 2 + 6.2)
    .lineTo(x + 7, y + height / 2 - 1.8)
    .stroke();
  doc
    .moveTo(x - 4, y + height / 2 + 1.8)
    .lineTo(x + 7, y + height / 2 - 6.2)
    .stroke();
};

/** Points of the scale that stand at one distance share a label. */
const labels = (scale: RecordScale): { value: number; text: string; word: string }[] => {
  const seen = new Map<number, { value: number; text: string; word: string }>();
  for (const p of scale.points) {
    const distance = Math.abs(p.value - scale.datum);
    const other = seen.get(distance);
    seen.set(distance, {
      value: p.value,
      text: other ? `${other.text}/${String(p.value)}` : String(p.value),
      word: other ? `${other.word}/${p.word}` : p.word,
    });
  }
  return [...seen.values()];
};

/** The numbers of the scale over a column of plots. */
export const axisCell = (flow: PageFlow, scale: RecordScale): Cell => ({
  paragraphs: [],
  drawing: {
    alt: `Distance from the datum, ${labels(scale)
      .map((l) => `${l.text} ${l.word}`)
      .join(', ')}`,
    height: SMALL.leading,
    draw: (x, y, width) => {
      const at = placeOn(scale, width);
      for (const { value, text } of labels(scale)) {
        flow.line(text, x + at(value) - flow.widthOf(text, SMALL_STRONG) / 2, y, SMALL_STRONG);
      }
    },
  },
});

const ticks = (flow: PageFlow, scale: RecordScale, x: number, y: number, width: number): void => {
  const at = placeOn(scale, width);
  flow.rule(x + 2, y, at(labels(scale).at(-1)?.value ?? scale.max), 0.7);
  for (const { value } of labels(scale)) {
    flow.doc
      .moveTo(x + at(value), y - 2)
      .lineTo(x + at(value), y + 2)
      .lineWidth(0.7)
      .stroke();
  }
};

/** A thin line with end caps; ends beyond the scale are cut off at its edge. */
const drawInterval = (
  flow: PageFlow,
  scale: RecordScale,
  interval: NonNullable<RecordBar['interval']>,
  x: number,
  y: number,
  at: (value: number) => number,
): void => {
  const place = (v: number): number => x + at(Math.min(scale.max, Math.max(scale.min, v)));
  const [low, high] = [place(interval.lower), place(interval.upper)];
  for (const end of [low, high]) flow.doc.moveTo(end, y - 2.2).lineTo(end, y + 2.2);
  flow.doc.moveTo(low, y).lineTo(high, y).lineWidth(0.9).strokeColor('black').stroke();
};

/** A bar from the datum line to a value, with a thin line for the interval. */
export const barDrawing = (flow: PageFlow, scale: RecordScale, bar: RecordBar): CellDrawing => ({
  alt: `${bar.label.trim()}: ${bar.text}, ${bar.note}`,
  height: 13,
  draw: (x, y, width) => {
    const { doc } = flow;
    const at = placeOn(scale, width);
    const middle = y + 6;
    ticks(flow, scale, x, middle, width);
    if (bar.value !== null) {
      doc
        .rect(x + 1.6, middle - 3, Math.max(at(bar.value) - 1.6, 0.6), 6)
        .fillColor('black')
        .fill();
    }
    if (bar.interval) drawInterval(flow, scale, bar.interval, x, middle + 6, at);
    datumLine(flow, x, y - 3, 19, false);
  },
});

interface Stack {
  step: number;
  marks: RecordStrip['marks'];
}

/** Letters by the place they stand on. */
const stacksOf = (scale: RecordScale, marks: RecordStrip['marks']): Stack[] => {
  const stacks = new Map<number, Stack>();
  for (const mark of marks) {
    const distance = Math.abs(mark.step - scale.datum);
    const stack = stacks.get(distance) ?? { step: mark.step, marks: [] };
    stack.marks.push(mark);
    stacks.set(distance, stack);
  }
  return [...stacks.values()];
};

const drawMark = (flow: PageFlow, text: string, counted: boolean, x: number, y: number): void => {
  const { doc } = flow;
  const width = Math.max(BOX, flow.widthOf(text, TINY) + 3);
  doc
    .roundedRect(x - width / 2, y, width, BOX, 2)
    .lineWidth(0.8)
    .strokeColor('black');
  if (counted) doc.fillColor('black').fillAndStroke();
  else doc.dash(1.6, { space: 1.2 }).stroke().undash();
  flow.use(TINY);
  doc
    .fillColor(counted ? 'white' : 'black')
    .text(text, x - flow.widthOf(text, TINY) / 2, y + 1.1, { lineBreak: false });
  doc.fillColor('black');
};

const drawStack = (flow: PageFlow, { marks }: Stack, x: number, base: number): void => {
  if (marks.length > MOST_LEVELS) {
    const counted = marks.filter((m) => m.counted).length;
    const left = marks.length - counted;
    if (counted > 0) drawMark(flow, `${String(counted)}×`, true, x, base - LEVEL);
    if (left > 0)
      drawMark(flow, `${String(left)}×`, false, x, base - LEVEL * (counted > 0 ? 2 : 1));
    return;
  }
  marks.forEach((m, i) => drawMark(flow, m.letter, m.counted, x, base - LEVEL * (i + 1)));
};

const spread = (
  flow: PageFlow,
  strip: RecordStrip,
  at: (v: number) => number,
  x: number,
  y: number,
) => {
  const counted = strip.marks.filter((m) => m.counted).map((m) => at(m.step));
  const [low, high] = [Math.min(...counted), Math.max(...counted)];
  if (counted.length < 2 || low === high) return;
  flow.doc
    .moveTo(x + low, y + 3.5)
    .lineTo(x + low, y + 7)
    .lineTo(x + high, y + 7)
    .lineTo(x + high, y + 3.5);
  flow.doc.lineWidth(0.9).strokeColor('black').stroke();
};

/** One task on the datum line: letters, bracket for the spread, upright bar for the settled value. */
export const stripDrawing = (
  flow: PageFlow,
  scale: RecordScale,
  strip: RecordStrip,
  alt: string,
): CellDrawing => {
  const stacks = stacksOf(scale, strip.marks);
  const levels = Math.max(
    1,
    ...stacks.map(({ marks }) => (marks.length > MOST_LEVELS ? 2 : marks.length)),
  );
  const height = levels * LEVEL + 12;
  return {
    alt,
    height,
    draw: (x, y, width) => {
      const at = placeOn(scale, width);
      const base = levels === 0 ? y + 6 : y + levels * LEVEL + 1.5;
      ticks(flow, scale, x, base, width);
      spread(flow, strip, at, x, base);
      datumLine(flow, x, y - 3, height + 5, strip.blocked);
      stacks.forEach((s) => drawStack(flow, s, x + at(s.step), base - 1.5));
      if (strip.settled !== null) {
        flow.doc
          .rect(x + at(strip.settled) - 1.3, base - 4.5, 2.6, 11)
          .fillColor('black')
          .fill();
      }
    },
  };
};
