import {
  isStanding,
  protocolTasks,
  timeMeasure,
  type Comparison,
  type CriterionStatus,
  type EvidenceSlice,
  type ListedTrial,
  type Protocol,
  type ProtocolTask,
  type TaskCriterion,
  type Shown,
  type TrialEntry,
  type TrialList,
} from '@unhindered/shared-types';
import { trialCriterionMet } from '../consensus/gate.ts';
import { gateProposal } from '../measures/gate-proposal.ts';
import { referenceComparison, type OperatorValue } from '../measures/reference-comparison.ts';
import { shareOf, timesSummary } from '../measures/times-summary.ts';
import { measuredIn } from './measured.ts';
import { measuredTrial } from './measured-trial.ts';
import { remembered } from './remembered.ts';

/** What the trials of one task say, in the words of the views. */
export type TaskEvidence = EvidenceSlice;

/** Trials of one task, corrected and void ones too, in the order they were kept. */
export const trialsOf = (trials: TrialList, task: string): ListedTrial[] =>
  trials.size === 0 ? [] : [...trials.values()].filter((t) => t.entry.task === task);

type Timed = OperatorValue;

/** The timed trials as the measures read them: a trial that was not done has no time, whenever it was stopped. */
const timedTrials = (trials: readonly TrialEntry[], condition: Timed['condition']): Timed[] =>
  trials.flatMap(({ operator, done, seconds }) =>
    done && seconds === null
      ? []
      : [{ operator, condition, value: Number(seconds ?? 0), censored: !done }],
  );

/**
 * TR-3: the median time, seconds, with every trial that was not done ranked last, as longer than any time, and none
 * averaged in at the time it was stopped. Where the middle falls on such a trial there is no median time, and that is
 * said. Done trials without a time are left out.
 */
const medianSeconds = (times: readonly Timed[]): Shown => {
  const { median } = timesSummary(times, null);
  if (!median.ok) return { why: 'no timed trial' };
  return median.value.reached
    ? { value: median.value.seconds }
    : { why: 'half of the trials or more were not done' };
};

const shareDone = (done: number, valid: number): TaskEvidence['share'] => {
  const share = shareOf(done, valid);
  if (!share.ok) return null;
  const [lower, upper] = share.value.limits;
  return { value: share.value.share, lower, upper };
};

const bounds = (value: number, [lower, upper]: readonly [number, number]) => ({
  value,
  lower,
  upper,
});

const comparisonOf = (times: readonly Timed[], references: number): Comparison => {
  if (references === 0) {
    return { kind: 'none', why: 'no trial without the equipment to compare with' };
  }
  if (!times.some((t) => t.condition === 'reference')) {
    return { kind: 'none', why: 'the trials without the equipment have no time to compare with' };
  }
  const found = referenceComparison(times);
  if (!found.difference.ok) return { kind: 'none', why: found.difference.why };
  const { operatorRatio: own, difference, ratio } = found;
  return {
    kind: found.design,
    n: found.n,
    difference: bounds(difference.value.mean, difference.value.limits),
    // CC-5: one multiple on every screen: the record's where it has one.
    ratio: own.ok ? own.value.ratio : ratio.ok ? ratio.value : null,
    operatorRatio: own.ok ? bounds(own.value.ratio, own.value.limits) : null,
    notes: found.notes,
  };
};

/** Standing trials of a task with the equipment in its state, and without it. */
interface Judged {
  equipment: readonly ListedTrial[];
  reference: readonly ListedTrial[];
}

/** By measured values where the protocol names what they decide, by the recorder's mark where it does not. */
const criterionOf = (
  { equipment, reference }: Judged,
  task: ProtocolTask,
  protocol: Protocol,
): TaskEvidence['criterion'] => {
  const { gate } = protocol;
  if (task.critical === null) return null;
  if (task.criterion) return measuredCriterion({ equipment, reference }, task.criterion, protocol);
  const trials = equipment.map((t) => t.entry);
  const judged = trials.filter((t) => t.criterion !== null).length;
  const met = trials.filter((t) => t.criterion === true).length;
  const { minValidTrials: minTrials, minShareOfValidTrials: minShare } = gate;
  return {
    status: trialCriterionMet(met, judged, minTrials, minShare),
    met,
    judged,
    minTrials,
    minShare,
  };
};

const measuredCriterion = (
  { equipment, reference }: Judged,
  criterion: TaskCriterion,
  protocol: Protocol,
): TaskEvidence['criterion'] => {
  const { gate } = protocol;
  const trials = [...equipment, ...reference].flatMap((t) => measuredTrial(t, protocol) ?? []);
  const found = gateProposal(criterion, trials, gate);
  const pooled = criterion.kind === 'pooled-share' && found.trials.length === 0;
  return {
    status: found.outcome,
    met: found.met,
    judged: found.valid,
    minTrials: pooled ? criterion.minAttempts : gate.minValidTrials,
    minShare: pooled ? criterion.below : gate.minShareOfValidTrials,
    measured: found.measured,
    differs: found.differs,
    ...(pooled ? { pooled: found.sentence } : {}),
  };
};

/** What the trials of one task say, corrected and void ones among them. */
const evidenceOf = (
  all: readonly ListedTrial[],
  task: ProtocolTask,
  protocol: Protocol,
): TaskEvidence => {
  const listed = all.filter(isStanding);
  const of = (condition: TrialEntry['condition']): ListedTrial[] =>
    listed.filter((t) => t.entry.condition === condition);
  const judged: Judged = {
    equipment: of('equipment').filter((t) => t.entry.state === task.state),
    reference: of('reference'),
  };
  const equipment = judged.equipment.map((t) => t.entry);
  const reference = judged.reference.map((t) => t.entry);
  const done = equipment.filter((t) => t.done).length;
  const times = timedTrials(equipment, 'equipment');
  return {
    task: task.id,
    state: task.state,
    valid: equipment.length,
    done,
    share: shareDone(done, equipment.length),
    medianSeconds: medianSeconds(times),
    criterion: criterionOf(judged, task, protocol),
    measured: measuredIn(equipment, task, protocol, timeMeasure(protocol, task.id)?.id),
    comparison: comparisonOf([...times, ...timedTrials(reference, 'reference')], reference.length),
    beside: {
      reference: reference.length,
      otherState: of('equipment').length - equipment.length,
      practice: of('practice').length,
      hiddenFault: of('hidden-fault').length,
      withdrawn: all.filter((t) => t.replacedBy === null && t.withdrew?.counts === false).length,
      voided: all.filter((t) => t.replacedBy === null && t.voided !== null).length,
    },
  };
};

const rememberedEvidence = remembered<TrialList, ReadonlyMap<string, TaskEvidence>>();

/** What the trials say, by task, for each task of the protocol that has one. */
const allEvidence = (trials: TrialList, protocol: Protocol): ReadonlyMap<string, TaskEvidence> =>
  rememberedEvidence(trials, [protocol], () => {
    const byTask = new Map<string, ListedTrial[]>();
    for (const trial of trials.values()) {
      byTask.set(trial.entry.task, [...(byTask.get(trial.entry.task) ?? []), trial]);
    }
    return new Map(
      protocolTasks(protocol).flatMap((task) => {
        const own = byTask.get(task.id);
        return own ? [[task.id, evidenceOf(own, task, protocol)] as const] : [];
      }),
    );
  });

/**
 * What the trials of a task say. Only standing trials with the equipment count, and only in the equipment state that
 * the protocol rates the task in; the others are counted beside them. Undefined for a task that has no trial at all.
 */
export const taskEvidence = (
  trials: TrialList,
  protocol: Protocol,
  task: string,
): TaskEvidence | undefined =>
  trials.size === 0 ? undefined : allEvidence(trials, protocol).get(task);

/** Whether the trials meet the criterion of a task; without trials there are not enough. */
export const criterionStatus = (evidence: TaskEvidence | undefined): CriterionStatus =>
  evidence?.criterion?.status ?? 'not-enough-trials';
