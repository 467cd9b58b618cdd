import {
  decimal12,
  protocolTasks,
  type FigureText,
  type Protocol,
  type Result,
} from '@unhindered/shared-types';
import { composite, type Composite } from '../consensus/composite.ts';
import type { CompositeOfMeans } from '../consensus/composite-of-means.ts';
import type { Figure } from '../consensus/figure.ts';
import { verdict } from '../consensus/gate.ts';
import type { RatingTable } from '../consensus/table.ts';
import { lockedComposite } from './endorsement.ts';
import { taskEvidence } from './evidence.ts';
import { figureText } from './figure-text.ts';
import { ratingTable } from './rating-table.ts';
import { remembered } from './remembered.ts';
import { settledValue } from './settled-value.ts';
import { allStandings, type TaskStanding } from './standing.ts';
import type { EvaluationState } from './state.ts';
import { compositeSections, tableFigures } from './table-figures.ts';

const optional = (value: number | undefined): FigureText =>
  value === undefined ? { undefinedBecause: 'no counted rating' } : { value: decimal12(value) };

const settledValues = (
  state: EvaluationState,
  standings: readonly TaskStanding[],
): Map<string, number | undefined> =>
  new Map(standings.map((t) => [t.task, settledValue(state, t)]));

/** The composite of the settled values as they stand, without endorsements: those are told at the lock (EN-2). */
export const settledComposite = (
  state: EvaluationState,
  protocol: Protocol,
  standings: readonly TaskStanding[],
): Composite => {
  const byTask = settledValues(state, standings);
  return composite(compositeSections(protocol), (task) => byTask.get(task));
};

const meansText = (means: CompositeOfMeans, { reviewers }: RatingTable): Result['means'] => {
  const bySeat = (figures: readonly Figure[]): { seat: string; value: FigureText }[] =>
    reviewers.map((seat, j) => {
      const f = figures[j];
      return { seat, value: f ? figureText(f) : { undefinedBecause: 'no rating' } };
    });
  return {
    value: figureText(means.value),
    interval: means.interval.ok
      ? {
          lower: decimal12(means.interval.value.lower),
          upper: decimal12(means.interval.value.upper),
          method: means.interval.value.method,
        }
      : { undefinedBecause: means.interval.why },
    byReviewer: bySeat(means.byReviewer),
    leaveOneOut: bySeat(means.leaveOneOut),
  };
};

/** What the trials say at the lock; nothing where no trial was ever entered. */
const evidenceFigures = (state: EvaluationState, protocol: Protocol): Pick<Result, 'evidence'> => {
  if (state.trials.size === 0) return {};
  const evidence = protocolTasks(protocol).flatMap(({ id }) => {
    const found = taskEvidence(state.trials, protocol, id);
    if (!found?.share) return [];
    const { task, valid, done, share, medianSeconds, criterion } = found;
    return [
      {
        task,
        valid,
        done,
        share: decimal12(share.value),
        lower: decimal12(share.lower),
        upper: decimal12(share.upper),
        medianSeconds:
          'value' in medianSeconds
            ? { value: decimal12(medianSeconds.value) }
            : { undefinedBecause: medianSeconds.why },
        criterion: criterion?.status ?? null,
      },
    ];
  });
  return { evidence };
};

const rememberedResult = remembered<EvaluationState, Result>();

/** LK-2: every published figure of an evaluation, from its state alone. Decimal strings, unrounded. */
export const lockFigures = (state: EvaluationState, protocol: Protocol): Result =>
  rememberedResult(state, [protocol], () => resultOf(state, protocol));

const resultOf = (state: EvaluationState, protocol: Protocol): Result => {
  const standings = allStandings(state, protocol);
  const counted = ratingTable(state, protocol, standings, false);
  const everyone = ratingTable(state, protocol, standings, true);
  const figures = tableFigures(counted, protocol);
  const means = meansText(figures.means, counted);
  const byTask = new Map(standings.map((t) => [t.task, t]));
  const decided = protocolTasks(protocol).flatMap(({ id }) => {
    const gate = state.gates.get(id);
    return gate ? [{ task: id, confirmed: gate.confirmed }] : [];
  });
  return {
    verdict: verdict(decided),
    composite: lockedComposite(state, protocol, counted.reviewers, settledValues(state, standings)),
    means,
    // Where nobody is left out, both tables are one and the same.
    meansWithInterests:
      everyone === counted ? means : meansText(tableFigures(everyone, protocol).means, everyone),
    alphaOrdinal: figureText(figures.alphaOrdinal),
    tasks: protocolTasks(protocol).map(({ id }) => {
      const standing = byTask.get(id);
      const settled = standing && settledValue(state, standing);
      return {
        task: id,
        settled: optional(settled),
        how: settled === undefined ? 'no-ratings' : (state.settled.get(id)?.how ?? 'no-ratings'),
        median: optional(standing?.median),
        n: standing?.values.length ?? 0,
        divergent: (standing?.flags.length ?? 0) > 0,
      };
    }),
    counted: [...counted.reviewers],
    ...evidenceFigures(state, protocol),
  };
};
