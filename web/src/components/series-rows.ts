import {
  type CompressionFigures,
  type HeadMotion,
  type MotionRead,
  type SeriesFigure,
  type SeriesImport,
  type Share,
  type VentilationFigures,
} from '@unhindered/shared-types';
import { percent, rounded } from '../format/number.ts';
import { reasonText } from '../words/en/reasons.ts';
import { words } from '../words/series.ts';

/** One figure of a series: its value with the unit, or why there is none, and what it rests on. */
export interface SeriesRow {
  /** The measure of the catalogue it is; '' for none. */
  measure: string;
  name: string;
  value: string;
  /** False where there is no value but a reason. */
  known: boolean;
  basis: string[];
}

const say = words.seriesFigures;
/** One decimal, with a true minus. */
const one = (x: number): string => rounded(x, 1).replace('-', '\u2212');

const row = <T>(
  measure: string,
  name: string,
  figure: SeriesFigure<T>,
  print: (value: T) => string,
  basis: (value: T) => string[] = () => [],
): SeriesRow =>
  figure.ok
    ? { measure, name, value: print(figure.value), known: true, basis: basis(figure.value) }
    : { measure, name, value: reasonText(figure.why), known: false, basis: [] };

const degrees = (x: number): string => `${one(x)}°`;
const PLANES = [
  ['rom_fe', 'flexion'],
  ['rom_lb', 'sideBending'],
  ['rom_ar', 'rotation'],
] as const;

/** The figures of a motion series, degrees. */
export const motionRows = (motion: HeadMotion, lost: number): SeriesRow[] => [
  ...PLANES.map(([measure, plane]) =>
    row(
      measure,
      say.plane(words.series.planes[plane]),
      motion.planes,
      (planes) => degrees(planes[plane].range),
      (planes) => {
        const { least, most, change } = planes[plane];
        return [say.planeBasis(one(least), one(most), one(change))];
      },
    ),
  ),
  row(
    'theta_max',
    say.helical,
    motion.helical,
    (h) => degrees(h.degrees),
    (h) => [say.at(rounded(h.seconds, 2))],
  ),
  row(
    '',
    say.excursion,
    motion.excursion,
    (e) => degrees(e.degrees),
    ({ seconds: [a, b] }) => [say.between(rounded(a, 2), rounded(b, 2))],
  ),
  row('', say.rss, motion.rss, degrees, () => [say.rssBasis]),
  {
    measure: '',
    name: say.gaps,
    value: `${say.samples(motion.missing, motion.samples + motion.missing)} (${one(100 * motion.gapShare)} %)`,
    known: true,
    basis: [say.gapsBasis(motion.gaps.length), ...(lost > 0 ? [say.blank(lost)] : [])],
  },
];

const shareRow = (
  measure: string,
  name: string,
  figure: SeriesFigure<Share>,
  more: string[] = [],
) =>
  row(
    measure,
    name,
    figure,
    (s) => `${percent(s.share)} (${say.of(s.successes, s.of)})`,
    ({ limits: [lower, upper] }) => [say.limits(percent(lower), percent(upper)), ...more],
  );

const plainRow = (name: string, n: number, basis: string[] = []): SeriesRow => ({
  measure: '',
  name,
  value: String(n),
  known: true,
  basis,
});

/** The figures of a manikin's compressions; none where there was no compression. */
export const compressionRows = (c: CompressionFigures): SeriesRow[] =>
  c.n === 0
    ? []
    : [
        plainRow(say.compressions, c.n, [say.runs(c.runs)]),
        row('cc_rate', say.rate, c.rate, (x) => `${one(x)} /min`),
        row('cc_depth_mm', say.depth, c.depth, (x) => `${one(x)} mm`),
        shareRow('p_depth', say.inTarget, c.depthInTarget, [say.inTargetBasis]),
        shareRow('p_recoil', say.recoil, c.released),
        shareRow('p_hand', say.hand, c.handCorrect),
        row('ccf', say.fraction, c.fraction, percent, () => [
          say.fractionBasis(one(c.span[0]), one(c.span[1])),
        ]),
        row(
          'pause_max',
          say.pause,
          c.longestPause,
          (x) => `${one(x)} s`,
          () => [say.pauses(c.pauses.length)],
        ),
      ];

/** The figures of a manikin's breaths; none where there was no breath. */
export const breathRows = (b: VentilationFigures): SeriesRow[] =>
  b.n === 0
    ? []
    : [
        plainRow(say.breaths, b.n),
        shareRow('p_vent', say.success, b.success),
        row('vt_ml', say.volume, b.volume, (x) => `${rounded(x, 0)} mL`),
        row('vent_rate', say.ventRate, b.rate, (x) => `${one(x)} /min`),
        row('t_insp', say.inspiration, b.inspiration, (x) => `${rounded(x, 2)} s`),
        row('t_first_ventilation', say.first, b.firstSuccess, (x) => `${one(x)} s`),
      ];

type Read = Extract<SeriesImport['read'], { ok: true }>;
export const isMotion = (read: Read): read is Extract<MotionRead, { ok: true }> => 'motion' in read;

/** Every figure of a file, in the order to read them. */
export const seriesRows = (read: Read): SeriesRow[] =>
  isMotion(read)
    ? motionRows(read.motion, read.lost.total)
    : [...compressionRows(read.compressions), ...breathRows(read.ventilations)];

/** A threshold with what it rests on; undefined where there is none to show. */
export const thresholdWords = (answer: SeriesImport, measure: string): string | undefined => {
  const threshold = answer.thresholds[measure];
  if (!threshold) return undefined;
  const { published, text, label } = threshold;
  return published ? say.published(text, label) : say.house(text, label);
};
