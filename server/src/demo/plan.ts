import type { Protocol, ProtocolTask, SheetField } from '@unhindered/shared-types';
import type { DemoPiece } from './pieces.ts';

/** Fields of one sheet, by task. */
export type SheetPlan = Map<string, Partial<Record<SheetField, unknown>>>;

/** Tasks that do not exist for a kind of piece, with the reason that goes on record. */
const DOES_NOT_APPLY: Partial<Record<string, Record<string, string>>> = {
  helmet: Object.fromEntries(
    ['chest-access', 'cpr-compressions', 'aed-pads', 'torso-removal', 'combined-removal'].map(
      (t) => [t, 'The piece leaves the chest free.'],
    ),
  ),
  pads: Object.fromEntries(
    [
      'sensory-field',
      'airway-open',
      'airway-clear',
      'fm-tool-first',
      'fm-cut-backup',
      'fm-left-on-access',
      'helmet-removal',
      'combined-removal',
    ].map((t) => [t, 'The piece does not cover the head.']),
  ),
};

/** Tasks that the seller's adviser abstains from. */
const ABSTAINS = ['fm-tool-first', 'fm-cut-backup'];
/** Feel cannot be judged on video: the remote reviewer says so for these at most. */
const NOT_SEEN = 3;

const reasonAgainst = (piece: DemoPiece, task: string): string | undefined =>
  DOES_NOT_APPLY[piece.specimen.kind]?.[task];

/**
 * Settled values whose section means come as near to the piece's as whole steps allow; what a section is short of is
 * carried into the next, so that the composite comes near too.
 */
export const settledPlan = (
  piece: DemoPiece,
  protocol: Protocol,
  random: () => number,
): Map<string, number> => {
  const values = new Map<string, number>();
  let owed = 0;
  protocol.sections.forEach((section, i) => {
    const ease = piece.ease[i];
    const tasks = section.tasks.filter((t) => reasonAgainst(piece, t.id) === undefined);
    if (ease == null || tasks.length === 0) return;
    const free = tasks.filter((t) => piece.fixed[t.id] === undefined);
    const fixed = tasks.reduce((sum, t) => sum + (piece.fixed[t.id] ?? 0), 0);
    const wanted = 5 - ease + owed / section.weight;
    const most = 5 * free.length;
    let left = Math.min(most, Math.max(0, Math.round(wanted * tasks.length - fixed)));
    const got = (fixed + left) / tasks.length;
    owed += section.weight * (5 - ease - got);
    for (const [task, value] of Object.entries(piece.fixed)) {
      if (tasks.some((t) => t.id === task)) values.set(task, value);
    }
    const order = free
      .map((t) => ({ id: t.id, at: random() }))
      .toSorted((a, b) => a.at - b.at)
      .map((t) => t.id);
    order.forEach((id, n) => {
      const share = Math.ceil(left / (order.length - n));
      values.set(id, share);
      left -= share;
    });
  });
  return values;
};

interface Reviewer {
  /** 0 to 4. */
  index: number;
  random: () => number;
  /** Answers "not observed" given so far. */
  unseen: number;
}

/** What a reviewer's habit makes of a settled value; never so much that the panel's median moves. */
const habit = (section: string, value: number, r: Reviewer): number => {
  const airway = section === 'airway-breathing' || section === 'devices-ventilation';
  const strict = airway ? 0.5 : 0.3;
  const mild = section === 'circulation' ? 0.7 : 0.3;
  // One above and one below leave the median where it is. Nobody but a planted dispute reaches the worst point.
  if (r.index === 1 && value < 4 && r.random() < strict) return value + 1;
  if (r.index === 4 && value > 0 && r.random() < mild) return value - 1;
  return value;
};

const planted = (answer: number | 'n.o.' | 'abst'): number | string =>
  answer === 'n.o.' ? 'not-observed' : answer === 'abst' ? 'abstained' : answer;

const answerOf = (
  piece: DemoPiece,
  task: ProtocolTask,
  section: string,
  settled: ReadonlyMap<string, number>,
  r: Reviewer,
): number | string => {
  const plan = piece.planted[task.id]?.[r.index];
  if (plan !== undefined) return planted(plan);
  if (r.index === 3 && ABSTAINS.includes(task.id)) return 'abstained';
  if (r.index === 2 && task.onVideo === 'no' && r.unseen < NOT_SEEN) {
    r.unseen++;
    return 'not-observed';
  }
  return habit(section, Math.round(settled.get(task.id) ?? 0), r);
};

/** The sheets of the five reviewers. Invented, like the whole catalogue. */
export const sheetPlans = (
  piece: DemoPiece,
  protocol: Protocol,
  settled: ReadonlyMap<string, number>,
  random: () => number,
): SheetPlan[] =>
  [0, 1, 2, 3, 4].map((index) => {
    const reviewer: Reviewer = { index, random, unseen: 0 };
    const sheet: SheetPlan = new Map();
    for (const section of protocol.sections) {
      for (const task of section.tasks) {
        const reason = reasonAgainst(piece, task.id);
        if (reason !== undefined) {
          sheet.set(task.id, { answer: 'not-applicable', reason });
          continue;
        }
        const gate = piece.gates[task.id];
        const proposes = gate?.by.includes(index + 1) === true;
        sheet.set(task.id, {
          answer: answerOf(piece, task, section.id, settled, reviewer),
          ...(proposes ? { critical: gate.proposal } : {}),
        });
      }
    }
    return sheet;
  });
