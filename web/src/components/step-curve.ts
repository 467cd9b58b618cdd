/** A point of a step curve: from `seconds` on, `probability` have access. */
export interface StepPoint {
  seconds: number;
  probability: number;
}

/** The box a curve is drawn in, in pixels of its picture. */
export interface PlotBox {
  left: number;
  right: number;
  top: number;
  bottom: number;
  /** Seconds at the right end. */
  end: number;
}

/** Where the axis ends: all curves fit, in whole minutes, three at least. */
export const axisEnd = (curves: readonly (readonly StepPoint[])[]): number =>
  Math.max(180, Math.ceil(Math.max(0, ...curves.flat().map((p) => p.seconds)) / 60) * 60);

/** Times that are named on the axis: those of the table, then minutes, no more than fit beside one another. */
export const axisTicks = (end: number, width: number): number[] => {
  const room = Math.max(2, Math.floor(width / 56));
  const steps = [30, 60, 120, 180, 300, 600, 1200, 3600];
  const step = steps.find((s) => end / s <= room) ?? 7200;
  return Array.from({ length: Math.floor(end / step) }, (_, i) => (i + 1) * step);
};

export const xOf = ({ left, right, end }: PlotBox, seconds: number): number =>
  left + (Math.min(seconds, end) / end) * (right - left);
export const yOf = ({ top, bottom }: PlotBox, share: number): number =>
  bottom - share * (bottom - top);

const point = (n: number): string => String(Math.round(n * 10) / 10);

/** The path of a step curve, on to the end of the axis. */
export const stepPath = (box: PlotBox, curve: readonly StepPoint[]): string => {
  const [first, ...rest] = curve;
  if (!first) return '';
  const from = `M${point(xOf(box, first.seconds))} ${point(yOf(box, first.probability))}`;
  const steps = rest.map((p) => `H${point(xOf(box, p.seconds))}V${point(yOf(box, p.probability))}`);
  return `${from}${steps.join('')}H${point(box.right)}`;
};

/** The area between the limits, each holding until the next time. */
export const bandPath = (
  box: PlotBox,
  band: readonly { seconds: number; lower: number; upper: number }[],
): string => {
  const [first] = band;
  if (!first) return '';
  const ends = band.map((b, i) => ({ ...b, until: band[i + 1]?.seconds ?? box.end }));
  const there = ends
    .map((b) => `V${point(yOf(box, b.upper))}H${point(xOf(box, b.until))}`)
    .join('');
  const back = ends
    .toReversed()
    .map((b) => `V${point(yOf(box, b.lower))}H${point(xOf(box, b.seconds))}`)
    .join('');
  return `M${point(xOf(box, first.seconds))} ${point(yOf(box, first.lower))}${there}${back}Z`;
};

/** Where the letter of one of `of` curves stands on it: each at a height of its own, so that few lie on one another. */
export const markPoint = (
  curve: readonly StepPoint[],
  place: number,
  of: number,
): StepPoint | undefined => {
  const most = curve.at(-1)?.probability ?? 0;
  const height = most * (0.15 + (0.8 * (place + 0.5)) / of);
  const at = curve.find((p) => p.probability >= height - 1e-12);
  return at && { seconds: at.seconds, probability: Math.min(height, at.probability) };
};
