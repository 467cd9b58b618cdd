import type { Specimen, TrialEntry } from '@unhindered/shared-types';
import { DEMO_MODEL } from './fit.ts';

type Range = readonly [low: number, high: number];
/** How a piece of the invented table does in these tasks. */
type Grade = 'good' | 'middling' | 'bad';

const GRADE: Readonly<Record<string, Grade>> = {
  d1: 'good',
  d2: 'bad',
  d3: 'middling',
  d4: 'good',
  d5: 'middling',
  d6: 'middling',
  d7: 'bad',
  d8: 'good',
};

/** What is taken of a trial, under which conditions between which values; `seconds` is its own time. */
interface Taken {
  of: string;
  decimals: number;
  bare: Range;
  good: Range;
  middling: Range;
  bad: Range;
}

interface BareTask {
  task: string;
  state: string;
  /** Kinds of piece that it is tried with. */
  kinds: readonly Specimen['kind'][];
  /** A living model lies there; else a manikin. */
  living: boolean;
  /** Whether the recorder has to mark the criterion of a critical failure, which no measure tells. */
  marked?: boolean;
  taken: readonly Taken[];
  /** Breaths given in one trial, whose share that was good is counted. */
  breaths?: { of: number } & Omit<Taken, 'of' | 'decimals'>;
}

const ALL: BareTask['kinds'] = ['helmet', 'pads', 'torso', 'combined', 'other'];
const CHEST: BareTask['kinds'] = ['pads', 'torso', 'combined'];
const taken = (
  of: string,
  decimals: number,
  ...[bare, good, middling, bad]: readonly [Range, Range, Range, Range]
): Taken => ({ of, decimals, bare, good, middling, bad });

/** Tasks tried with the piece and on the same athlete without it. Every range is invented. */
const TASKS: readonly BareTask[] = [
  {
    task: 'pulse-check',
    state: 'as-worn',
    kinds: ALL,
    living: true,
    taken: [taken('seconds', 1, [4, 7], [5, 8], [6, 9.5], [7, 10])],
  },
  {
    task: 'lift-transfer',
    state: 'as-worn',
    kinds: ALL,
    living: true,
    marked: true,
    taken: [
      taken('seconds', 1, [14, 22], [15, 24], [17, 30], [20, 34]),
      taken('rom_fe', 1, [6, 12], [7, 13], [8, 15], [9, 18]),
      taken('rpe', 1, [1, 3], [1.5, 3.5], [2.5, 5], [4, 8.5]),
    ],
  },
  {
    task: 'chest-access',
    state: 'as-worn',
    kinds: CHEST,
    living: true,
    taken: [taken('seconds', 1, [2, 5], [8, 20], [25, 75], [25, 75])],
  },
  {
    task: 'cpr-compressions',
    state: 'as-worn',
    kinds: CHEST,
    living: false,
    taken: [
      taken('cc_depth_mm', 1, [52, 57], [51, 56], [44, 52], [44, 52]),
      taken('cc_rate', 0, [104, 118], [104, 118], [100, 122], [100, 122]),
      taken('ccf', 0, [74, 84], [70, 80], [60, 72], [60, 72]),
    ],
  },
  {
    task: 'bvm-ventilation',
    state: 'mask-removed',
    kinds: ALL,
    living: false,
    taken: [taken('vt_ml', 0, [480, 620], [450, 600], [380, 560], [120, 330])],
    breaths: { of: 16, bare: [92, 100], good: [88, 97], middling: [75, 92], bad: [75, 92] },
  },
];

/** The breaths that were good in the three trials of the piece with the fixed guard: 14 of 48 in all. */
const PLANTED_BREATHS: Readonly<Record<string, readonly number[]>> = { d7: [5, 4, 5] };
/** The operator whose attempt at the laced pads was stopped at the cap. */
const OVER_CAP = { piece: 'd3', task: 'chest-access', operator: 1, cap: 180 };

type Condition = 'equipment' | 'reference' | 'practice';

/** One trial as it is drawn; the caller says when it was. */
export type DrawnTrial = Omit<TrialEntry, 'at'>;

/** Near the middle of a range more often than near its ends. */
const draw = ([low, high]: Range, decimals: number, random: () => number): string => {
  const share = (random() + random() + random()) / 3;
  return String(Number((low + share * (high - low)).toFixed(decimals)));
};

const breathsOf = (
  { breaths }: BareTask,
  grade: Grade | 'bare',
  planted: number | undefined,
  random: () => number,
): TrialEntry['measures'] => {
  if (!breaths) return [];
  const { of } = breaths;
  const drawn = Math.round((of * Number(draw(breaths[grade], 0, random))) / 100);
  const successes = planted ?? drawn;
  return [{ measure: 'p_vent', value: String((100 * successes) / of), counts: { successes, of } }];
};

const trialOf = (
  piece: string,
  task: BareTask,
  condition: Condition,
  operator: number,
  random: () => number,
): DrawnTrial => {
  const withIt = condition === 'equipment';
  const planted = withIt ? PLANTED_BREATHS[piece]?.[operator] : undefined;
  const grade = condition === 'reference' ? 'bare' : (GRADE[piece] ?? 'middling');
  const values = new Map(task.taken.map((t) => [t.of, draw(t[grade], t.decimals, random)]));
  const { cap } = OVER_CAP;
  const over =
    withIt &&
    OVER_CAP.piece === piece &&
    OVER_CAP.task === task.task &&
    OVER_CAP.operator === operator;
  const seconds = over ? String(cap) : (values.get('seconds') ?? null);
  values.delete('seconds');
  return {
    kind: 'trial',
    task: task.task,
    state: task.state,
    condition,
    operator: `K${String(operator + 1)}`,
    ...(task.living ? { model: DEMO_MODEL } : {}),
    // Of the planted breaths most did not reach the chest: that is not done.
    done: !over && !(task.breaths && planted !== undefined),
    seconds,
    splits: [],
    measures: [
      ...[...values].map(([measure, value]) => ({ measure, value, counts: null })),
      ...breathsOf(task, grade, planted, random),
    ],
    criterion: withIt && task.marked ? false : null,
    note: null,
    replaces: null,
  };
};

const OPERATORS = [0, 1, 2];

/**
 * Invented trials of one piece with it and on the same athlete without it, in the order in which they were done: one
 * for practice, then each of three operators through both conditions, the second the other way round than the others.
 */
export const bareTrials = (
  piece: string,
  kind: Specimen['kind'],
  random: () => number,
): DrawnTrial[] => {
  const tasks = TASKS.filter((t) => t.kinds.includes(kind));
  const firstWith = piece.charCodeAt(1) % 2;
  const orders: Condition[][] = [
    ['equipment', 'reference'],
    ['reference', 'equipment'],
  ];
  const practised = tasks.find((t) => t.task === 'lift-transfer');
  return [
    ...(practised ? [trialOf(piece, practised, 'practice', 0, random)] : []),
    ...OPERATORS.flatMap((operator) =>
      (orders[(operator + firstWith) % 2] ?? []).flatMap((condition) =>
        tasks.map((task) => trialOf(piece, task, condition, operator, random)),
      ),
    ),
  ];
};
