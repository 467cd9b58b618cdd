import type { FigureText, RecordBar, RecordBlock } from '@unhindered/shared-types';
import { ALPHA_SEED, type RecordFigures } from '../record-figures.ts';
import { weighedEndorsement, type RecordSource } from '../record-source.ts';
import {
  figureNumber,
  figureWords,
  letterOf,
  percentWords,
  plain,
  scaleOf,
  strong,
} from '../words.ts';

const READING = {
  undefined: 'Agreement beyond chance cannot be computed from these ratings.',
  alike: 'The reviewers rate alike: alpha is .80 or more.',
  'tasks-hardly-differ':
    'The reviewers rate close together on tasks that hardly differ. Alpha is low for that reason and says little here; the shares of pairs say more.',
  tentative:
    'Agreement is tentative: alpha lies between .667 and .80. Read the single tasks before the composite.',
  apart:
    'The reviewers rate apart: alpha is below .667. The composite hides disagreement; read the single tasks.',
} as const satisfies Record<RecordFigures['reading'], string>;

const share = (f: FigureText): string =>
  'value' in f ? percentWords(Number(f.value)) : figureWords(f, 0);

const withInterval = (value: FigureText, f: RecordFigures): string => {
  const { lower, upper } = f.alphaInterval;
  const interval =
    'value' in lower && 'value' in upper
      ? `95 % interval ${figureWords(lower, 2)} to ${figureWords(upper, 2)}, tasks drawn with replacement 2000 times, seed ${String(ALPHA_SEED)}`
      : `no interval (${'undefinedBecause' in lower ? lower.undefinedBecause : ''})`;
  return `${figureWords(value, 2)}; ${interval}`;
};

/** Agreement in words first, then the numbers behind the words. Counted ratings only. */
export const agreementBlocks = (source: RecordSource, f: RecordFigures): RecordBlock[] => [
  strong(READING[f.reading]),
  {
    kind: 'facts',
    rows: [
      { term: 'Krippendorff’s alpha, ordinal', text: withInterval(source.result.alphaOrdinal, f) },
      {
        term: 'Pairs within one step',
        text: `${share(f.withinOne)} of ${String(f.pairs)} pairs of ratings`,
      },
      { term: 'Pairs on the same step', text: share(f.exact) },
      {
        term: 'Intraclass correlation',
        text: `one reviewer ${figureWords(f.iccSingle, 2)}, the panel’s mean ${figureWords(f.iccAverage, 2)} (absolute agreement, REML)`,
      },
      { term: 'Gwet’s AC2, quadratic', text: figureWords(f.ac2, 2) },
      {
        term: 'Dependability of the mean',
        text: `${figureWords(f.phi, 2)}; reviewers needed for .80: ${figureWords(f.reviewersNeeded, 0)}`,
      },
    ],
  },
  plain(
    'Ratings are ordinal: median and spread come first, coefficients beside them. Alpha falls when the tasks hardly differ although the panel agrees. The bounds .667 and .80 are customary. The rules for what diverges and what is settled were set in the protocol before the first rating.',
  ),
];

const bar = (label: string, value: FigureText, note: string): RecordBar => ({
  label,
  value: figureNumber(value),
  interval: null,
  text: figureWords(value, 2),
  note,
});

/** How much the composite hangs on single choices: interests, middle taken, and who was there. */
export const sensitivityBlocks = (source: RecordSource, f: RecordFigures): RecordBlock[] => {
  const { composite, means, meansWithInterests } = source.result;
  const weighed = weighedEndorsement(source);
  const rows = [
    bar('Settled values', composite.value, 'the composite of this record'),
    ...(weighed ? [bar('Without endorsements', weighed.without, 'settled values alone')] : []),
    bar('Medians', f.medians, 'as if nothing had been decided'),
    bar('Means', means.value, 'mean instead of median'),
    bar('Medians, interests in', f.mediansWithInterests, 'every rating counted'),
    bar('Means, interests in', meansWithInterests.value, 'every rating counted'),
    ...means.leaveOneOut.map((l) =>
      bar(`Means without ${letterOf(source, l.seat)}`, l.value, 'one reviewer left out'),
    ),
  ];
  const values = rows.flatMap((r) => (r.value === null ? [] : [r.value]));
  const alt = rows.map((r) => `${r.label}: ${r.text} (${r.note})`).join('. ');
  const range =
    values.length === 0
      ? 'No variant has a value.'
      : `Over all variants the composite lies between ${figureWords({ value: String(Math.min(...values)) }, 2)} and ${figureWords({ value: String(Math.max(...values)) }, 2)}.`;
  return [
    strong(range),
    {
      kind: 'bars',
      caption: 'The composite by other choices, distance from the datum',
      alt: `${alt}.`,
      scale: scaleOf(source),
      rows,
    },
    ...(weighed
      ? [plain('Endorsements are in the first line alone; every other one is of ratings alone.')]
      : []),
    plain(
      'The verdict does not follow from the composite: only a confirmed critical failure gates, whichever variant is read.',
    ),
  ];
};
