import type { PlanAnswer, PlanBody, PlanSlot } from '@unhindered/shared-types';
import { dataFile, type Column } from './open-data/columns.ts';

type Titles = ReadonlyMap<string, string>;
type Order = PlanAnswer['orders']['rows'][number];
type Files = PlanAnswer['files'];

/** Time of day of a minute from the start, over midnight if it must be. */
const clockOf = (start: string, after: number): string => {
  const [hours = 0, minutes = 0] = start.split(':').map(Number);
  const at = hours * 60 + minutes + Math.floor(after);
  const two = (n: number): string => String(n).padStart(2, '0');
  const day = Math.floor(at / 1440);
  return `${day > 0 ? `+${String(day)} d ` : ''}${two(Math.floor(at / 60) % 24)}:${two(at % 60)}`;
};

const slotColumns = (start: string, titles: Titles): Column<PlanSlot>[] => [
  { name: 'from', type: 'text', meaning: 'Begins, time of day', of: (s) => clockOf(start, s.from) },
  { name: 'to', type: 'text', meaning: 'Ends, time of day', of: (s) => clockOf(start, s.to) },
  { name: 'minute', type: 'number', meaning: 'Begins, minutes from the start', of: (s) => s.from },
  { name: 'what', type: 'text', meaning: 'practice, trial, rest or break', of: (s) => s.kind },
  {
    name: 'task',
    type: 'text',
    meaning: 'Task of the protocol',
    of: (s) => (s.task === null ? null : (titles.get(s.task) ?? s.task)),
  },
  { name: 'operator', type: 'text', meaning: 'Who performs', of: (s) => s.operator },
  { name: 'condition', type: 'text', meaning: 'With what', of: (s) => s.condition },
  { name: 'trial', type: 'number', meaning: 'Number within all of these', of: (s) => s.trial },
];

const orderColumns = (seed: number): Column<Order>[] => [
  { name: 'operator', type: 'text', meaning: 'Who performs', of: (o) => o.operator },
  {
    name: 'row',
    type: 'number',
    meaning: 'Row of the Williams square, from 1',
    of: (o) => o.row + 1,
  },
  {
    name: 'order',
    type: 'text',
    meaning: 'Conditions in order',
    of: (o) => o.conditions.join('; '),
  },
  { name: 'seed', type: 'number', meaning: 'The orders are drawn from it', of: () => seed },
];

const WHAT: Record<PlanSlot['kind'], string> = {
  practice: 'Practice',
  trial: 'Trial',
  rest: 'Rest',
  break: 'Break',
};

const slotLine = (start: string, titles: Titles, s: PlanSlot): string => {
  const what = s.trial === null ? WHAT[s.kind] : `${WHAT[s.kind]} ${String(s.trial)}`;
  const parts = [s.task === null ? null : (titles.get(s.task) ?? s.task), s.operator, s.condition];
  const said = parts.filter((p) => p !== null).join(', ');
  return `${clockOf(start, s.from)}  ${what}${said === '' ? '' : `: ${said}`}`;
};

const planText = (body: PlanBody, answer: Omit<PlanAnswer, 'files'>, titles: Titles): string => {
  const { orders, day, equipment } = answer;
  return [
    `PLAN OF THE DAY, ${body.protocol.id} ${body.protocol.version}`,
    '',
    `ORDERS (seed ${String(orders.seed)}; ${orders.generator})`,
    ...orders.rows.map((o) => `${o.operator}: ${o.conditions.join(', ')}`),
    ...(orders.note === null ? [] : [orders.note]),
    '',
    'DAY',
    ...('why' in day
      ? [`No plan: ${day.why}.`]
      : [...day.slots.map((s) => slotLine(body.start, titles, s)), ...day.notes]),
    '',
    'EQUIPMENT',
    ...equipment.map((e) => `[ ] ${e.title} (${e.tasks.join('; ')})`),
    '',
  ].join('\n');
};

/** PN-3: a plan as files: what a spreadsheet reads, without formulas (RE-6), and plain text. */
export const planFiles = (
  body: PlanBody,
  answer: Omit<PlanAnswer, 'files'>,
  titles: Titles,
): Files => {
  const slots = 'slots' in answer.day ? answer.day.slots : [];
  const csv = 'text/csv';
  const tables = [
    dataFile('plan-day.csv', 'The day, row by row', slotColumns(body.start, titles), slots),
    dataFile(
      'plan-orders.csv',
      'Who does what in which order',
      orderColumns(body.seed),
      answer.orders.rows,
    ),
    dataFile(
      'plan-equipment.csv',
      'What to bring',
      [
        {
          name: 'item',
          type: 'text',
          meaning: 'Tool',
          of: (e: PlanAnswer['equipment'][number]) => e.title,
        },
        {
          name: 'tasks',
          type: 'text',
          meaning: 'Tasks that use it',
          of: (e) => e.tasks.join('; '),
        },
      ],
      answer.equipment,
    ),
  ];
  return [
    ...tables.map(({ name, text }) => ({ name, type: csv, text })),
    { name: 'plan.txt', type: 'text/plain', text: planText(body, answer, titles) },
  ];
};
