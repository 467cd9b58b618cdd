import {
  protocolTasks,
  restMinutes,
  type Comparison,
  type TrialCondition,
} from '@unhindered/shared-types';
import { taskEvidence } from '../evaluation/evidence.ts';
import type { RecordSource } from './record-source.ts';
import type { RecordTrial } from './trials.ts';

/** What became of the trials of one condition. A trial that was corrected counts once, as corrected last. */
export interface ConditionFlow {
  condition: TrialCondition;
  recorded: number;
  void: number;
  /** Taken out because their model left. */
  takenOut: number;
  standing: number;
  /** Of the standing ones. */
  notDone: number;
}

/** The conditions that one operator went through, in the order of the device's clock, without repeats in a row. */
export interface OperatorOrder {
  operator: string;
  order: ('equipment' | 'reference')[];
  /** Days (UTC) of their trials with, and without, the equipment. */
  days: { equipment: string[]; reference: string[] };
}

export interface Crossover {
  flow: ConditionFlow[];
  orders: OperatorOrder[];
  /** Tasks that somebody tried with and without the equipment, in protocol order, with what that says of time. */
  compared: { task: string; comparison: Comparison }[];
  /** Of the operators who worked in both conditions: how many began with the equipment, and without. */
  began: { equipment: number; reference: number };
  /** Shortest pause between two tiring trials of one operator, minutes; null where nobody had two. */
  rest: { shortest: number; asked: number; tooShort: number; pauses: number } | null;
  hiddenFaults: RecordTrial[];
}

const CONDITIONS: readonly TrialCondition[] = [
  'equipment',
  'reference',
  'practice',
  'hidden-fault',
];

/** The first entry of a trial, which tells when it was done: a correction is entered later. */
const firstOf = (trials: ReadonlyMap<string, RecordTrial>, of: RecordTrial): RecordTrial => {
  const before = of.entry.replaces === null ? undefined : trials.get(of.entry.replaces);
  return before ? firstOf(trials, before) : of;
};

const flowOf = (trials: readonly RecordTrial[]): ConditionFlow[] =>
  CONDITIONS.flatMap((condition) => {
    const own = trials.filter((t) => t.entry.condition === condition && t.status !== 'corrected');
    if (own.length === 0) return [];
    const standing = own.filter((t) => t.status === 'counts');
    return [
      {
        condition,
        recorded: own.length,
        void: own.filter((t) => t.status === 'void').length,
        takenOut: own.filter((t) => t.status === 'model-left').length,
        standing: standing.length,
        notDone: standing.filter((t) => !t.entry.done).length,
      },
    ];
  });

const ordersOf = (trials: readonly RecordTrial[]): OperatorOrder[] => {
  const byKey = new Map(trials.map((t) => [t.key, t]));
  const standing = trials.flatMap((t) => {
    const { condition, operator } = t.entry;
    if (t.status !== 'counts' || (condition !== 'equipment' && condition !== 'reference'))
      return [];
    return [{ operator, condition, at: firstOf(byKey, t).entry.at }];
  });
  const operators = [...new Set(standing.map((t) => t.operator))].toSorted();
  return operators.map((operator) => {
    const own = standing
      .filter((t) => t.operator === operator)
      .toSorted((a, b) => Date.parse(a.at) - Date.parse(b.at));
    const daysOf = (condition: string): string[] => [
      ...new Set(own.filter((t) => t.condition === condition).map((t) => t.at.slice(0, 10))),
    ];
    return {
      operator,
      order: own.map((t) => t.condition).filter((c, i, all) => c !== all[i - 1]),
      days: { equipment: daysOf('equipment'), reference: daysOf('reference') },
    };
  });
};

const restOf = ({ trials, protocol }: RecordSource): Crossover['rest'] => {
  const tiring = trials
    .filter((t) => t.entry.replaces === null)
    .flatMap(({ entry: { operator, task, at } }) => {
      const asked = restMinutes(protocol, task);
      return asked === null ? [] : [{ operator, asked, at: Date.parse(at) }];
    })
    .toSorted((a, b) => a.at - b.at);
  const last = new Map<string, number>();
  const pauses = tiring.flatMap(({ operator, asked, at }) => {
    const before = last.get(operator);
    last.set(operator, at);
    return before === undefined ? [] : [{ minutes: (at - before) / 60_000, asked }];
  });
  if (pauses.length === 0) return null;
  return {
    shortest: Math.min(...pauses.map((p) => p.minutes)),
    asked: Math.max(...pauses.map((p) => p.asked)),
    tooShort: pauses.filter((p) => p.minutes < p.asked).length,
    pauses: pauses.length,
  };
};

const comparedOf = (source: RecordSource): Crossover['compared'] =>
  protocolTasks(source.protocol).flatMap(({ id, state }) => {
    const own = source.trials.filter((t) => t.status === 'counts' && t.task === id);
    const withIt = own.some((t) => t.entry.condition === 'equipment' && t.entry.state === state);
    if (!withIt || !own.some((t) => t.entry.condition === 'reference')) return [];
    const found = taskEvidence(source.state.trials, source.protocol, id);
    return found ? [{ task: id, comparison: found.comparison }] : [];
  });

/** RE-7: what the trials say about the order, the conditions and the flow of a day, from the log alone. */
export const crossoverOf = (source: RecordSource): Crossover => {
  const orders = ordersOf(source.trials);
  const both = orders.filter((o) => new Set(o.order).size === 2);
  return {
    flow: flowOf(source.trials),
    orders,
    compared: comparedOf(source),
    began: {
      equipment: both.filter((o) => o.order[0] === 'equipment').length,
      reference: both.filter((o) => o.order[0] === 'reference').length,
    },
    rest: restOf(source),
    hiddenFaults: source.trials.filter(
      (t) => t.status === 'counts' && t.entry.condition === 'hidden-fault',
    ),
  };
};
