import type {
  CompressionFigures,
  HeadMotion,
  SeriesValue,
  Share,
  VentilationFigures,
} from '@unhindered/shared-types';
import type { Figure } from '../consensus/figure.ts';

const value = (measure: string, figure: Figure, factor = 1): SeriesValue[] =>
  figure.ok
    ? [{ measure, entry: { value: figure.value * factor, censored: false, counts: undefined } }]
    : [];

const share = (measure: string, figure: Figure<Share>): SeriesValue[] => {
  if (!figure.ok) return [];
  const { successes, of, share: part } = figure.value;
  const entry = { value: 100 * part, censored: false, counts: { successes, of } };
  return [{ measure, entry }];
};

/** The measures of a motion series. One that is not valid gives none: see its reason. */
export const motionValues = (motion: HeadMotion): SeriesValue[] => {
  if (!motion.valid) return [];
  const { planes, helical } = motion;
  const plane = (name: 'flexion' | 'sideBending' | 'rotation'): Figure =>
    planes.ok ? { ok: true, value: planes.value[name].range } : planes;
  return [
    ...value('rom_fe', plane('flexion')),
    ...value('rom_lb', plane('sideBending')),
    ...value('rom_ar', plane('rotation')),
    ...value('theta_max', helical.ok ? { ok: true, value: helical.value.degrees } : helical),
    ...value('delta_fe_end', planes.ok ? { ok: true, value: planes.value.flexion.change } : planes),
  ];
};

/** The measures of a manikin's compressions. What was not measured gives none. */
export const compressionValues = (found: CompressionFigures): SeriesValue[] => [
  ...value('cc_rate', found.rate),
  ...value('cc_depth_mm', found.depth),
  ...share('p_depth', found.depthInTarget),
  ...share('p_recoil', found.released),
  ...share('p_hand', found.handCorrect),
  ...value('ccf', found.fraction, 100),
  ...value('pause_max', found.longestPause),
];

/** The measures of a manikin's breaths. */
export const ventilationValues = (found: VentilationFigures): SeriesValue[] => [
  ...share('p_vent', found.success),
  ...value('vt_ml', found.volume),
  ...value('vent_rate', found.rate),
  ...value('t_insp', found.inspiration),
  ...value('t_first_ventilation', found.firstSuccess),
];
