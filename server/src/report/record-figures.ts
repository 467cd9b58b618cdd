import type { FigureText, RecordFigure } from '@unhindered/shared-types';
import { seededChance } from '../analysis/seeded-chance.ts';
import { alphaInterval } from '../consensus/alpha-interval.ts';
import { composite } from '../consensus/composite.ts';
import { noFigure, type Figure } from '../consensus/figure.ts';
import { pairAgreement } from '../consensus/pair-agreement.ts';
import { median } from '../consensus/quantile.ts';
import { present, type RatingTable } from '../consensus/table.ts';
import { figureText } from '../evaluation/figure-text.ts';
import { ratingTable } from '../evaluation/rating-table.ts';
import { compositeSections } from '../evaluation/table-figures.ts';
import { insight, insightQuestion } from '../evaluation/insight.ts';
import type { RecordSource } from './record-source.ts';

/** Figures that the record adds to the locked result, every one from the ratings in the bundle. */
export interface RecordFigures {
  alphaInterval: { lower: FigureText; upper: FigureText };
  withinOne: FigureText;
  exact: FigureText;
  pairs: number;
  iccSingle: FigureText;
  iccAverage: FigureText;
  ac2: FigureText;
  phi: FigureText;
  reviewersNeeded: FigureText;
  reading: ReturnType<typeof insight>['reading'];
  /** Composite of the medians of the counted ratings, whatever was decided. */
  medians: FigureText;
  /** The same with every rating that a declared interest took out. */
  mediansWithInterests: FigureText;
}

/** The interval is drawn with this seed, so that everybody draws the same. */
export const ALPHA_SEED = 20260101;

/** Above this many cells the resampled interval would take longer than a reader waits. */
const MOST_CELLS = 6000;

const shown = (s: { value: number } | { why: string }): FigureText =>
  'value' in s ? figureText({ ok: true, value: s.value }) : figureText(noFigure(s.why));

const medianComposite = (source: RecordSource, table: RatingTable): FigureText => {
  const medians = new Map(table.tasks.map((t, i) => [t, median(present(table.cells[i] ?? []))]));
  return figureText(composite(compositeSections(source.protocol), (t) => medians.get(t)).value);
};

const resampled = (table: RatingTable): RecordFigures['alphaInterval'] => {
  const size = table.cells.length * table.reviewers.length;
  const ends: Figure<{ lower: number; upper: number }> =
    size > MOST_CELLS
      ? noFigure('too many ratings to resample for a record')
      : alphaInterval(table.cells, 'ordinal', seededChance(ALPHA_SEED).stream());
  if (!ends.ok) return { lower: figureText(ends), upper: figureText(ends) };
  const { lower, upper } = ends.value;
  return {
    lower: figureText({ ok: true, value: lower }),
    upper: figureText({ ok: true, value: upper }),
  };
};

/** RE-3: every figure is either the locked result's own or computed here from the bundle's ratings. */
export const recordFigures = (source: RecordSource): RecordFigures => {
  const { state, protocol, standings } = source;
  const counted = ratingTable(state, protocol, standings, false);
  const everyone = ratingTable(state, protocol, standings, true);
  const close = pairAgreement(counted.cells, 1);
  const same = pairAgreement(counted.cells, 0);
  const says = insight(insightQuestion(state, protocol, standings));
  return {
    alphaInterval: resampled(counted),
    withinOne: figureText(close.ok ? { ok: true, value: close.value.pooled } : close),
    exact: figureText(same.ok ? { ok: true, value: same.value.pooled } : same),
    pairs: close.ok ? close.value.pairs : 0,
    iccSingle: shown(says.agreementSingle),
    iccAverage: shown(says.agreementAverage),
    ac2: shown(says.ac2),
    phi: shown(says.phi),
    reviewersNeeded: shown(says.reviewersNeeded),
    reading: says.reading,
    medians: medianComposite(source, counted),
    mediansWithInterests: medianComposite(source, everyone),
  };
};

/** Every headline figure under a stable name, for programs that read a record. */
export const namedFigures = ({ result }: RecordSource, f: RecordFigures): RecordFigure[] => [
  { id: 'composite', value: result.composite.value },
  ...(result.composite.endorsement
    ? [{ id: 'composite-without-endorsements', value: result.composite.endorsement.without }]
    : []),
  { id: 'composite-of-means', value: result.means.value },
  { id: 'composite-of-means-with-interests', value: result.meansWithInterests.value },
  { id: 'composite-of-medians', value: f.medians },
  { id: 'composite-of-medians-with-interests', value: f.mediansWithInterests },
  { id: 'alpha-ordinal', value: result.alphaOrdinal },
  { id: 'alpha-ordinal-lower', value: f.alphaInterval.lower },
  { id: 'alpha-ordinal-upper', value: f.alphaInterval.upper },
  { id: 'pairs-within-one', value: f.withinOne },
  { id: 'pairs-exact', value: f.exact },
  { id: 'icc-single', value: f.iccSingle },
  { id: 'icc-average', value: f.iccAverage },
  { id: 'ac2-quadratic', value: f.ac2 },
  { id: 'dependability-phi', value: f.phi },
  { id: 'reviewers-for-phi-80', value: f.reviewersNeeded },
];
