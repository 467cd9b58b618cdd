import type { PlanBody, Protocol, ProtocolTask, StatedVariances } from '@unhindered/shared-types';
import { protocolTasks } from '@unhindered/shared-types';
import { words } from '../words/planner.ts';

/** One task as it stands in the form. */
export interface DraftTask {
  task: string;
  title: string;
  chosen: boolean;
  trialMinutes: string;
  resetMinutes: string;
  tiring: boolean;
}

/** The planner's form, as typed. */
export interface PlanDraft {
  operators: string;
  conditions: string;
  seed: string;
  tasks: DraftTask[];
  trials: string;
  practice: string;
  rest: string;
  work: string;
  pause: string;
  day: string;
  start: string;
  sizeFrom: 'none' | 'evaluation' | 'stated';
  wanted: string;
  earlier: string;
  variances: Record<keyof StatedVariances, string>;
}

/** A body to send, or what is wrong with the form, and at which field of its own if at one; the others name theirs. */
export type ReadPlan = { body: PlanBody } | { fault: string; field: PlanField | null };

/** Fields that a fault is shown at. */
export type PlanField =
  | 'operators'
  | 'conditions'
  | 'seed'
  | 'trials'
  | 'practice'
  | 'rest'
  | 'work'
  | 'pause'
  | 'day'
  | 'start';

const SEED_MAX = 4_294_967_295;

/** A seed that nobody chose. */
export const freshSeed = (): string => {
  const [word = 1] = crypto.getRandomValues(new Uint32Array(1));
  return String(Math.max(1, word));
};

/** Minutes of one trial, guessed from the cap of its time: never longer than an hour, three without a cap. */
const guessedMinutes = (task: ProtocolTask, protocol: Protocol): string => {
  const caps = protocol.measures
    .filter((m) => m.unit === 's' && task.measures.includes(m.id))
    .flatMap((m) => m.rejectMax ?? []);
  if (caps.length === 0) return '3';
  return String(Math.min(60, Math.max(1, Math.ceil(Math.max(...caps) / 60))));
};

/** The form as it begins: the tasks of the ladders are chosen, those that ask for the effort are taken as tiring. */
export const planDraft = (protocol: Protocol): PlanDraft => {
  const onLadder = new Set(protocol.ladders.flatMap((l) => l.rungs.map((r) => r.task)));
  const all = protocolTasks(protocol);
  const first = onLadder.size > 0 ? onLadder : new Set(all.slice(0, 1).map((t) => t.id));
  return {
    operators: 'K1 K2',
    conditions: words.plan.conditionsFirst.join('\n'),
    seed: freshSeed(),
    tasks: all.map((t) => ({
      task: t.id,
      title: t.title,
      chosen: first.has(t.id),
      trialMinutes: guessedMinutes(t, protocol),
      resetMinutes: '2',
      tiring: t.measures.includes('rpe'),
    })),
    trials: '3',
    practice: '1',
    rest: '3',
    work: '90',
    pause: '15',
    day: '480',
    start: '09:00',
    sizeFrom: 'none',
    wanted: '0.8',
    earlier: '',
    variances: {
      piece: '1',
      reviewer: '0.1',
      trial: '0.1',
      pieceReviewer: '0.2',
      pieceTrial: '0.1',
      reviewerTrial: '0.05',
      residual: '0.4',
    },
  };
};

class Unread extends Error {
  readonly field: PlanField | null;
  constructor(message: string, field: PlanField | null = null) {
    super(message);
    this.field = field;
  }
}

/** A number as typed, with a comma or a point; a fault names the field. */
const numberOf = (text: string, what: string, field: PlanField | null = null): number => {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value) || value < 0) {
    throw new Unread(words.plan.faults.number(what), field);
  }
  return value;
};

const sizeOf = (draft: PlanDraft): PlanBody['size'] => {
  if (draft.sizeFrom === 'none') return null;
  const wanted = numberOf(draft.wanted, words.plan.wanted);
  if (draft.sizeFrom === 'evaluation') {
    if (draft.earlier === '') throw new Unread(words.plan.faults.earlier);
    return { wanted, from: { evaluation: draft.earlier } };
  }
  const { variances: said } = words.plan;
  const of = (key: keyof StatedVariances): number => numberOf(draft.variances[key], said[key]);
  const stated = {
    piece: of('piece'),
    reviewer: of('reviewer'),
    trial: of('trial'),
    pieceReviewer: of('pieceReviewer'),
    pieceTrial: of('pieceTrial'),
    reviewerTrial: of('reviewerTrial'),
    residual: of('residual'),
  };
  return { wanted, from: { stated } };
};

const listed = (text: string, between: RegExp): string[] =>
  text
    .split(between)
    .map((part) => part.trim())
    .filter((part) => part !== '');

const refuseTwice = (list: readonly string[], field: 'operators' | 'conditions'): void => {
  const twice = list.find((name, i) => list.indexOf(name) !== i);
  if (twice !== undefined) throw new Unread(words.plan.faults.twice(twice), field);
};

const seedOf = (text: string): number => {
  const seed = Number(text.trim());
  if (!Number.isInteger(seed) || seed < 1 || seed > SEED_MAX) {
    throw new Unread(words.plan.faults.seed, 'seed');
  }
  return seed;
};

const tasksOf = (draft: PlanDraft): PlanBody['tasks'] =>
  draft.tasks
    .filter((t) => t.chosen)
    .map(({ task, title, trialMinutes, resetMinutes, tiring }) => ({
      task,
      trialMinutes: numberOf(trialMinutes, words.plan.trialMinutes(title)),
      resetMinutes: numberOf(resetMinutes, words.plan.resetMinutes(title)),
      tiring,
    }));

const bodyOf = (draft: PlanDraft, protocol: PlanBody['protocol']): PlanBody => {
  const w = words.plan;
  const operators = listed(draft.operators.toUpperCase(), /[\s,;]+/u);
  if (operators.length === 0) throw new Unread(w.faults.operators, 'operators');
  refuseTwice(operators, 'operators');
  const conditions = listed(draft.conditions, /\n/u);
  if (conditions.length === 0) throw new Unread(w.faults.conditions, 'conditions');
  refuseTwice(conditions, 'conditions');
  const tasks = tasksOf(draft);
  if (tasks.length === 0) throw new Unread(w.faults.tasks);
  if (!/^\d\d:\d\d$/u.test(draft.start)) throw new Unread(w.faults.start, 'start');
  return {
    size: sizeOf(draft),
    protocol,
    operators,
    conditions,
    seed: seedOf(draft.seed),
    tasks,
    trials: numberOf(draft.trials, w.trials, 'trials'),
    rules: {
      restMinutes: numberOf(draft.rest, w.rest, 'rest'),
      breakMinutes: numberOf(draft.pause, w.pause, 'pause'),
      workMinutes: numberOf(draft.work, w.work, 'work'),
      practice: numberOf(draft.practice, w.practice, 'practice'),
      dayMinutes: numberOf(draft.day, w.day, 'day'),
    },
    start: draft.start,
  };
};

/** Reads the form; the server checks the rest. */
export const readPlan = (draft: PlanDraft, protocol: PlanBody['protocol']): ReadPlan => {
  try {
    return { body: bodyOf(draft, protocol) };
  } catch (error) {
    if (error instanceof Unread) return { fault: error.message, field: error.field };
    throw error;
  }
};

/** The form of a body, so that an address brings its plan back. Tasks that the protocol does not have are left out. */
export const draftOfBody = (body: PlanBody, protocol: Protocol): PlanDraft => {
  const first = planDraft(protocol);
  const { rules, size } = body;
  const stated = size && 'stated' in size.from ? size.from.stated : null;
  return {
    ...first,
    operators: body.operators.join(' '),
    conditions: body.conditions.join('\n'),
    seed: String(body.seed),
    tasks: first.tasks.map((t) => {
      const own = body.tasks.find((b) => b.task === t.task);
      if (!own) return { ...t, chosen: false };
      const { trialMinutes, resetMinutes, tiring } = own;
      return {
        ...t,
        chosen: true,
        trialMinutes: String(trialMinutes),
        resetMinutes: String(resetMinutes),
        tiring,
      };
    }),
    trials: String(body.trials),
    practice: String(rules.practice),
    rest: String(rules.restMinutes),
    work: String(rules.workMinutes),
    pause: String(rules.breakMinutes),
    day: String(rules.dayMinutes),
    start: body.start,
    sizeFrom: size === null ? 'none' : stated ? 'stated' : 'evaluation',
    wanted: size === null ? first.wanted : String(size.wanted),
    earlier: size && 'evaluation' in size.from ? size.from.evaluation : '',
    variances: stated
      ? {
          piece: String(stated.piece),
          reviewer: String(stated.reviewer),
          trial: String(stated.trial),
          pieceReviewer: String(stated.pieceReviewer),
          pieceTrial: String(stated.pieceTrial),
          reviewerTrial: String(stated.reviewerTrial),
          residual: String(stated.residual),
        }
      : first.variances,
  };
};
