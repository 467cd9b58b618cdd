import type { AccessLadder, AccessRung, AccessShown, RecordBlock } from '@unhindered/shared-types';
import { roundHalfUp } from '@unhindered/shared-types';
import { seededChance } from '../../analysis/seeded-chance.ts';
import { ladderFigures } from '../../evaluation/ladder-figures.ts';
import { gatherLadders } from '../../evaluation/ladders.ts';
import { LADDER_SEED } from '../../measures/access-figures.ts';
import type { RecordSource } from '../record-source.ts';
import { heading, percentWords, plain, plural } from '../words.ts';

const secondsWords = (seconds: number): string => `${roundHalfUp(seconds, 1)} s`;

const limitsWords = (limits: { lower: number; upper: number } | { why: string }): string =>
  'why' in limits ? limits.why : `${percentWords(limits.lower)} to ${percentWords(limits.upper)}`;

const medianLimits = ({ medianLimits: limits }: AccessShown): string => {
  if ('why' in limits) return limits.why;
  const end = (seconds: number | null): string =>
    seconds === null ? 'not reached' : secondsWords(seconds);
  return `${end(limits.lower)} to ${end(limits.upper)}`;
};

const timesTable = (goal: string, figures: AccessShown): RecordBlock => ({
  kind: 'table',
  caption: `${goal}: access by technique after technique`,
  head: ['Access', 'Share of cases', '95 % limits'],
  widths: [0.34, 0.26, 0.4],
  rows: [
    ...figures.by.map((b) => [
      [`by ${String(b.seconds)} s`],
      [percentWords(b.probability)],
      [limitsWords(b.limits)],
    ]),
    [['at all'], [percentWords(figures.access)], ['–']],
    [
      ['half of the cases by'],
      ['value' in figures.median ? secondsWords(figures.median.value) : 'not reached'],
      [medianLimits(figures)],
    ],
  ],
});

const rungWords = (r: AccessRung): string => {
  const cap = r.capSeconds === null ? '' : `, at most ${String(r.capSeconds)} s`;
  const tried = `${r.title} (${r.state.toLowerCase()}${cap}): ${plural(r.trials, 'trial', 'trials')}`;
  return r.trials === 0
    ? `${tried}.`
    : `${tried} by ${plural(r.operators, 'operator', 'operators')}, ${String(r.done)} done, ${String(r.notDone)} not done in time.`;
};

/** Where the axis of a curve ends: in whole minutes, three at least. */
const axisEnd = ({ curve }: AccessShown): number =>
  Math.max(180, Math.ceil((curve.at(-1)?.seconds ?? 0) / 60) * 60);

const ladderBlocks = ({ goal, rungs, figures, why, notes }: AccessLadder): RecordBlock[] => [
  heading(`Time to access: ${goal}`),
  ...(figures
    ? [
        {
          kind: 'curve' as const,
          caption: 'Share of cases with access against seconds from “go”',
          alt: `Step curve. ${figures.by.map((b) => `By ${String(b.seconds)} s: ${percentWords(b.probability)}`).join('. ')}.`,
          end: axisEnd(figures),
          curve: figures.curve,
          band: figures.band,
        },
        timesTable(goal, figures),
      ]
    : [plain(why ?? '')]),
  { kind: 'list', items: rungs.map(rungWords) },
  ...notes.map(plain),
  ...(figures && figures.band.length > 0
    ? [
        plain(
          `Limits: the trials of each technique drawn again ${String(figures.replicates)} times, seed ${String(figures.seed)}; the shaded band holds at each time by itself.`,
        ),
      ]
    : []),
];

/** Time to access on each ladder that has a trial, computed again from the trials on record (LA-2). */
export const accessBlocks = ({ state, protocol }: RecordSource): RecordBlock[] =>
  ladderFigures(gatherLadders(state.trials, protocol), seededChance(LADDER_SEED))
    .filter((l) => l.rungs.some((r) => r.trials > 0))
    .flatMap(ladderBlocks);
