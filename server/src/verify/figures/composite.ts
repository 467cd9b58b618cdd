import type { Protocol, Result } from '@unhindered/shared-types';
import type { Replay } from '../replay.ts';
import { weighted } from './means.ts';
import { decimalText, known, unknown } from './text.ts';

const NO_WEIGHT = 'no rated task carries weight';

/** Counted statements: of seats with a counted step and no task taken out, by their answer. */
const statements = (r: Replay, counted: readonly string[]): [yes: number, no: number] => {
  let [yes, no] = [0, 0];
  for (const seat of counted) {
    const said = r.endorsements.get(seat);
    if (said === undefined || r.seats.get(seat)?.excluded.length !== 0) continue;
    if (said) yes++;
    else no++;
  }
  return [yes, no];
};

type Weighted = ReturnType<typeof weighted>;

/** Weight of the sections that hold a rated task, and the sum of weight times mean over them. */
const sums = (p: Protocol, { sections }: Weighted): { used: number; total: number } => {
  const means = p.sections.map((s, i) => ({ w: s.weight, mean: sections[i]?.mean }));
  return {
    used: means.reduce((sum, { w, mean }) => sum + (mean === undefined ? 0 : w), 0),
    total: means.reduce((sum, { w, mean }) => sum + (mean === undefined ? 0 : w * mean), 0),
  };
};

/**
 * The composite of the settled values computed again, with its sections, and with the statements where the protocol
 * gives them a weight.
 */
export const compositeFigures = (
  r: Replay,
  p: Protocol,
  counted: readonly string[],
  settled: ReadonlyMap<string, number>,
): Result['composite'] => {
  const alone = weighted(p, (task) => settled.get(task));
  const all = p.sections.reduce((sum, s) => sum + s.weight, 0);
  const { used, total } = sums(p, alone);
  const [yes, no] = statements(r, counted);
  const rule = p.endorsement;
  const point = rule && yes + no > 0 ? (yes * rule.content + no * rule.notContent) / (yes + no) : 0;
  const w = rule && yes + no > 0 && alone.value !== undefined ? rule.weight : 0;
  const text = (x: number | undefined) => (x === undefined ? unknown(NO_WEIGHT) : known(x));
  return {
    value: text(w > 0 ? (total + w * point) / (used + w) : alone.value),
    ...(rule && {
      endorsement: {
        value: yes + no > 0 ? known(point) : unknown('no counted reviewer has said'),
        weight: decimalText(w > 0 ? w / (used + w) : 0),
        content: yes,
        notContent: no,
        without: text(alone.value),
      },
    }),
    weightUsed: decimalText(all > 0 ? used / all : 0),
    provisional: used / all < 0.6,
    sections: p.sections.map((s, i) => {
      const { mean, rated } = alone.sections[i] ?? { mean: undefined, rated: 0 };
      return {
        section: s.id,
        value: mean === undefined ? unknown('no rated task') : known(mean),
        weight: decimalText(mean === undefined ? 0 : s.weight / (used + w)),
        rated,
        of: s.tasks.length,
      };
    }),
  };
};
