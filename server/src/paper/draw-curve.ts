import type { RecordCurve } from '@unhindered/shared-types';
import type { CellDrawing } from './draw-table.ts';
import { SMALL, type PageFlow } from './page-flow.ts';

const HEIGHT = 150;
const LEFT = 34;
const BELOW = 14;
const DATUM = 3.2;
const GRID = '#bbbbbb';
const BAND = '#dddddd';

interface Place {
  x: (seconds: number) => number;
  y: (share: number) => number;
  right: number;
}

const tickStep = (end: number): number =>
  [30, 60, 120, 180, 300, 600, 1200, 3600].find((s) => end / s <= 12) ?? 7200;

const drawGrid = (flow: PageFlow, { x, y, right }: Place, end: number): void => {
  const { doc } = flow;
  doc.lineWidth(0.5).strokeColor(GRID);
  for (const share of [0, 0.25, 0.5, 0.75, 1]) {
    doc.moveTo(x(0), y(share)).lineTo(right, y(share)).stroke();
    const text = `${String(share * 100)} %`;
    flow.line(text, x(0) - 6 - flow.widthOf(text, SMALL), y(share) - 4.5, SMALL);
  }
  const step = tickStep(end);
  for (let t = 0; t <= end; t += step) {
    if (t > 0) doc.moveTo(x(t), y(1)).lineTo(x(t), y(0)).strokeColor(GRID).stroke();
    const text = String(t);
    flow.line(text, x(t) - flow.widthOf(text, SMALL) / 2, y(0) + 3, SMALL);
  }
};

const drawBand = (flow: PageFlow, { x, y, right }: Place, band: RecordCurve['band']): void => {
  const { doc } = flow;
  for (const [i, { seconds, lower, upper }] of band.entries()) {
    const next = band[i + 1];
    const to = next ? x(next.seconds) : right;
    const top = y(upper);
    doc
      .rect(x(seconds), top, Math.max(to - x(seconds), 0.2), Math.max(y(lower) - top, 0.2))
      .fillColor(BAND)
      .fill();
  }
};

const drawSteps = (flow: PageFlow, { x, y, right }: Place, curve: RecordCurve['curve']): void => {
  const { doc } = flow;
  const [first, ...rest] = curve;
  if (!first) return;
  let level = y(first.probability);
  doc.moveTo(x(first.seconds), level);
  for (const { seconds, probability } of rest) {
    doc.lineTo(x(seconds), level);
    level = y(probability);
    doc.lineTo(x(seconds), level);
  }
  doc.lineTo(right, level).lineWidth(1.6).strokeColor('black').stroke();
};

/** A step curve on its axes, the heavy line at the left being access at once; the band in grey under it. */
export const curveDrawing = (flow: PageFlow, block: RecordCurve): CellDrawing => ({
  alt: block.alt,
  height: HEIGHT + BELOW + 6,
  draw: (left, top, width) => {
    const right = left + width - 8;
    const place: Place = {
      x: (seconds) =>
        left + LEFT + (Math.min(seconds, block.end) / block.end) * (right - left - LEFT),
      y: (share) => top + 4 + (1 - share) * (HEIGHT - 8),
      right,
    };
    drawGrid(flow, place, block.end);
    drawBand(flow, place, block.band);
    drawSteps(flow, place, block.curve);
    flow.doc
      .moveTo(place.x(0), place.y(1) - 4)
      .lineTo(place.x(0), place.y(0) + 2)
      .lineWidth(DATUM)
      .strokeColor('black')
      .stroke();
    flow.doc.fillColor('black').lineWidth(1);
  },
});
