import { figure, noFigure, type Figure } from '../consensus/figure.ts';
import { mean, variance } from '../consensus/mean.ts';
import { pairedDifference, timeRatio } from '../consensus/paired-difference.ts';
import type { TrialTime } from './times-summary.ts';
import { welchDifference } from './welch.ts';

/** One value of one operator: a time, an angle, a depth. */
export type OperatorValue = TrialTime & {
  operator: string;
  condition: 'equipment' | 'reference';
};

/** The equipment against the reference condition. */
export interface ReferenceComparison {
  /** `paired`: the same operators in both. `unpaired`: Welch's difference of two groups. */
  design: 'paired' | 'unpaired';
  /** Operators in the paired difference; values of each group in the unpaired one. */
  n: { equipment: number; reference: number };
  /** Equipment minus reference, with 95 % limits. */
  difference: Figure<{ mean: number; limits: [number, number] }>;
  /** The equipment's mean as a multiple of the reference's. */
  ratio: Figure;
  /** Geometric mean of each operator's own multiple, with limits; paired and positive values only. */
  operatorRatio: Figure<{ ratio: number; limits: [number, number] }>;
  /** What a reader must know, in words. */
  notes: string[];
}

interface Cell {
  operator: string;
  done: number[];
  failed: number;
}

const byOperator = (values: readonly OperatorValue[], condition: string): Cell[] => {
  const cells = new Map<string, Cell>();
  for (const v of values) {
    if (v.condition !== condition) continue;
    const cell = cells.get(v.operator) ?? { operator: v.operator, done: [], failed: 0 };
    cells.set(v.operator, cell);
    if (v.censored) cell.failed += 1;
    else cell.done.push(v.value);
  }
  return [...cells.values()].toSorted((a, b) => (a.operator < b.operator ? -1 : 1));
};

const failures = (cells: readonly Cell[]): number => cells.reduce((sum, c) => sum + c.failed, 0);

/** Means of the operators who finished every trial: one value each, so that trials do not pose as people. */
const finishers = (cells: readonly Cell[]): { operator: string; mean: number }[] =>
  cells.flatMap((c) => {
    const own = mean(c.done);
    return c.failed > 0 || own === undefined ? [] : [{ operator: c.operator, mean: own }];
  });

const multiple = (equipment: readonly number[], reference: readonly number[]): Figure => {
  const [top, bottom] = [mean(equipment), mean(reference)];
  if (top === undefined || bottom === undefined) return noFigure('one of the conditions is empty');
  if (bottom === 0) return noFigure('the reference mean is zero');
  return figure(top / bottom);
};

const paired = (
  pairs: readonly { equipped: number; reference: number }[],
): Omit<ReferenceComparison, 'notes'> => {
  const found = pairedDifference(pairs.map((p) => [p.equipped, p.reference] as const));
  const ratios = timeRatio(pairs);
  return {
    design: 'paired',
    n: { equipment: pairs.length, reference: pairs.length },
    difference: found
      ? figure({ mean: found.mean, limits: found.limits })
      : noFigure('fewer than two operators finished both'),
    ratio: multiple(
      pairs.map((p) => p.equipped),
      pairs.map((p) => p.reference),
    ),
    operatorRatio: ratios
      ? figure({ ratio: ratios.ratio, limits: ratios.limits })
      : noFigure('an operator ratio needs two operators and values above zero'),
  };
};

const group = (values: readonly number[]) => ({
  n: values.length,
  mean: mean(values) ?? 0,
  sd: Math.sqrt(variance(values) ?? 0),
});

const unpaired = (
  equipment: readonly number[],
  reference: readonly number[],
): Omit<ReferenceComparison, 'notes'> => {
  const found = welchDifference(group(equipment), group(reference));
  return {
    design: 'unpaired',
    n: { equipment: equipment.length, reference: reference.length },
    difference: found.ok
      ? figure({ mean: found.value.difference, limits: found.value.limits })
      : found,
    ratio: multiple(equipment, reference),
    operatorRatio: noFigure('no operator stands in both conditions'),
  };
};

const NOT_FINISHED =
  'Trials that were not done have no time and cannot be averaged: operators with such a trial are left out here, ' +
  'so the difference is kinder than the day was. Read it beside the share that was done.';
const UNPAIRED =
  'Different people did the task with and without the equipment: their own differences are part of this one.';
const TRIALS =
  'Trials are counted here as if each were another person, for want of operators: the limits are too narrow.';
const FEW = 'With fewer than four operators one unusual person decides the difference.';

/**
 * The equipment against the reference. Operators who did both are paired, one mean each; otherwise Welch over the
 * operators' means, or over trials where there are fewer than two operators a side, and the notes say so. ME-2 holds:
 * a censored time enters no mean; whoever has one is left out and counted.
 */
export const referenceComparison = (values: readonly OperatorValue[]): ReferenceComparison => {
  const equipment = byOperator(values, 'equipment');
  const reference = byOperator(values, 'reference');
  const notes = failures(equipment) + failures(reference) > 0 ? [NOT_FINISHED] : [];
  const without = new Map(finishers(reference).map((o) => [o.operator, o.mean]));
  const withIt = finishers(equipment);
  const pairs = withIt.flatMap(({ operator, mean: equipped }) => {
    const bare = without.get(operator);
    return bare === undefined ? [] : [{ equipped, reference: bare }];
  });
  if (pairs.length >= 2) {
    return { ...paired(pairs), notes: pairs.length < 4 ? [...notes, FEW] : notes };
  }
  if (withIt.length >= 2 && without.size >= 2) {
    const means = withIt.map((o) => o.mean);
    return { ...unpaired(means, [...without.values()]), notes: [...notes, UNPAIRED] };
  }
  const trials = (cells: readonly Cell[]) =>
    cells.filter((c) => c.failed === 0).flatMap((c) => c.done);
  const samePerson = pairs.length === 1 ? [TRIALS] : [UNPAIRED, TRIALS];
  return { ...unpaired(trials(equipment), trials(reference)), notes: [...notes, ...samePerson] };
};
