import {
  roundHalfUp,
  type Comparison,
  type RecordBlock,
  type TrialCondition,
} from '@unhindered/shared-types';
import { crossoverOf, type Crossover, type OperatorOrder } from '../crossover.ts';
import type { RecordSource } from '../record-source.ts';
import { capital, heading, listWords, plain, plural, taskTitle } from '../words.ts';

const CONDITION: Record<TrialCondition, string> = {
  equipment: 'with the equipment',
  reference: 'without it (reference)',
  practice: 'for practice',
  'hidden-fault': 'with a hidden fault',
};

const flowTable = ({ flow }: Crossover): RecordBlock => ({
  kind: 'table',
  caption: 'What became of the trials, by condition; how many were planned is not on record',
  head: ['Condition', 'Recorded', 'Void', 'Taken out', 'Standing', 'Of these not done'],
  widths: [0.3, 0.14, 0.12, 0.14, 0.14, 0.16],
  rows: flow.map((f) => [
    [capital(CONDITION[f.condition])],
    ...[f.recorded, f.void, f.takenOut, f.standing, f.notDone].map((n) => [String(n)]),
  ]),
});

const dayWords = ({ days: { equipment, reference } }: OperatorOrder): string => {
  if (equipment.length === 0 || reference.length === 0) return 'one condition only';
  return [...equipment, ...reference].every((d) => d === equipment[0])
    ? 'both on one day'
    : `with: ${equipment.join(', ')}; without: ${reference.join(', ')}`;
};

const orderTable = ({ orders }: Crossover): RecordBlock => ({
  kind: 'table',
  caption: 'Order in which each operator worked, by the device’s clock',
  head: ['Operator', 'Conditions, one after the other', 'Days'],
  widths: [0.16, 0.5, 0.34],
  rows: orders.map((o) => [
    [o.operator],
    [o.order.map((c) => (c === 'equipment' ? 'with' : 'without')).join(', ')],
    [dayWords(o)],
  ]),
});

const beganWords = ({ began, compared }: Crossover): string => {
  const { equipment, reference } = began;
  if (compared.length === 0) return 'No task was tried with and without the equipment.';
  if (equipment + reference === 0) {
    return 'No operator worked in both conditions: people and conditions cannot be told apart.';
  }
  const balance =
    equipment === reference
      ? 'The order is balanced: what is learnt or tires from the first to the second condition falls on both alike.'
      : 'The order is not balanced: part of a difference may be what is learnt or tires from the first condition to the second.';
  return `Of the operators who worked in both conditions, ${String(equipment)} began with the equipment and ${String(reference)} without it. ${balance} A carry-over was not estimated; how the orders were drawn, and their seed, are not on record.`;
};

const restWords = ({ rest }: Crossover): string => {
  if (!rest) return 'No operator had two trials that tire, so no rest between them was due.';
  const { shortest, asked, tooShort, pauses } = rest;
  return `Rest between two tiring trials of one operator: ${plural(pauses, 'pause', 'pauses')}, from entry to entry, the shortest ${roundHalfUp(shortest, 1)} min; ${plural(tooShort, 'was', 'were')} shorter than the ${String(asked)} min of the rule.`;
};

const signed = (value: number): string =>
  `${value < 0 ? '\u2212' : '+'}${roundHalfUp(Math.abs(value), 1)}`;

const comparisonCells = (c: Comparison): string[][] => {
  if (c.kind === 'none') return [['none'], [c.why], ['none']];
  const { difference: d, operatorRatio: own } = c;
  const who =
    c.kind === 'paired'
      ? `${plural(c.n.equipment, 'operator', 'operators')}, paired`
      : `${String(c.n.equipment)} with, ${String(c.n.reference)} without, not paired`;
  return [
    [who],
    [`${signed(d.value)} s`, `95 % limits ${signed(d.lower)} to ${signed(d.upper)} s`, ...c.notes],
    own
      ? [
          `${roundHalfUp(own.value, 2)} times`,
          `95 % limits ${roundHalfUp(own.lower, 2)} to ${roundHalfUp(own.upper, 2)}`,
        ]
      : ['none'],
  ];
};

const differences = (source: RecordSource, { compared }: Crossover): RecordBlock[] =>
  compared.length === 0
    ? []
    : [
        {
          kind: 'table',
          caption: 'Time with the equipment minus time without it',
          head: ['Task', 'Who', 'Difference', 'As a multiple'],
          widths: [0.28, 0.2, 0.34, 0.18],
          rows: compared.map(({ task, comparison }) => [
            [taskTitle(source, task)],
            ...comparisonCells(comparison),
          ]),
        },
      ];

const hiddenFaults = (source: RecordSource, { hiddenFaults: hidden }: Crossover): RecordBlock[] => {
  if (hidden.length === 0) return [];
  const items = hidden.map(({ task, entry }) => {
    const note = entry.note === null ? 'the fault is not described' : entry.note;
    return `${taskTitle(source, task)}, operator ${entry.operator}, ${entry.done ? 'done' : 'not done'}: ${note}`;
  });
  return [plain('Trials with a fault that the operator did not know of:'), { kind: 'list', items }];
};

/** Time caps of the protocol's ladders, and the tools that its tried tasks name. */
const capsAndTools = ({ protocol, trials }: RecordSource): RecordBlock[] => {
  const tried = new Set(trials.map((t) => t.task));
  const tasks = protocol.sections.flatMap((s) => s.tasks).filter((t) => tried.has(t.id));
  const titleOf = new Map(tasks.map((t) => [t.id, t.title]));
  const caps = new Map(
    protocol.ladders
      .flatMap((l) => l.rungs)
      .flatMap(({ task, capSeconds }) =>
        capSeconds === null || !titleOf.has(task) ? [] : [[task, capSeconds] as const],
      ),
  );
  const tools = new Map(protocol.tools.map((t) => [t.id, t.title.toLowerCase()]));
  const items = tasks.flatMap(({ id, title, tools: used }) => {
    const cap = caps.get(id);
    const said = [
      ...(cap === undefined ? [] : [`given up after ${String(cap)} s`]),
      ...(used.length === 0 ? [] : [`tools: ${listWords(used.map((t) => tools.get(t) ?? t))}`]),
    ];
    return said.length === 0 ? [] : [`${title}: ${said.join('; ')}`];
  });
  const lead =
    'Caps and tools of the tasks that were tried, as the protocol has them; the state and the battery of a tool are not on record, nor when a clock was started and stopped beyond the protocol’s words.';
  return items.length === 0 ? [] : [plain(lead), { kind: 'list', items }];
};

/** Conditions, order, rest, flow and differences of the trials. */
export const crossoverBlocks = (source: RecordSource): RecordBlock[] => {
  const c = crossoverOf(source);
  return [
    heading('With and without the equipment'),
    flowTable(c),
    ...(c.orders.length === 0 ? [] : [orderTable(c)]),
    plain(beganWords(c)),
    plain(restWords(c)),
    ...differences(source, c),
    ...hiddenFaults(source, c),
    ...capsAndTools(source),
  ];
};
