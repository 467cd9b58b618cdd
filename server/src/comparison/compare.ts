import type {
  ComparedEvaluation,
  ModelSeries,
  PooledClass,
  Scale,
  Shown,
} from '@unhindered/shared-types';
import { allPairs, comparePairs } from './pairs.ts';
import { classKey, modelKey, numberOf, rememberedFolding, type Piece } from './piece.ts';
import { classesOf, poolClass, standingIn } from './pooled.ts';

/** Tasks shown as the worst. */
const WORST = 5;

/** What a comparison says of one piece beside its line. */
export type PieceFigures = Pick<ComparedEvaluation, 'worst' | 'standing' | 'shrunken'>;

/** Distance from the good end, scale points. */
const distance = (scale: Pick<Scale, 'min' | 'max' | 'better'>, value: number): number =>
  scale.better === 'lower' ? value - scale.min : scale.max - value;

/** Tasks off the good end, worst first; of the same distance those where care was blocked, then protocol order. */
const worstTasks = (piece: Piece, blocked: readonly string[]): PieceFigures['worst'] =>
  piece.tasks
    .map((t) => ({ ...t, blocked: blocked.includes(t.task), far: distance(piece.scale, t.value) }))
    .filter((t) => t.far > 0 || t.blocked)
    .toSorted((a, b) => Number(b.blocked) - Number(a.blocked) || b.far - a.far)
    .slice(0, WORST)
    .map(({ task, title, value, blocked: gated }) => ({ task, title, value, blocked: gated }));

/** A comparison, with the pieces' own figures by evaluation. */
export interface Compared<P extends Piece> {
  figures: ReadonlyMap<string, PieceFigures>;
  pairs: ReturnType<typeof comparePairs>;
  classes: PooledClass[];
  series: (Pick<ModelSeries, 'steps'> & { rows: P[] })[];
  multiplicity: { pairs: number; byChance: number };
}

/** Models among the chosen that were judged more than once, each with every evaluation of it, oldest first. */
const seriesOf = <P extends Piece>(chosen: readonly P[], all: readonly P[]) => {
  const fold = rememberedFolding();
  const wanted = new Set(chosen.map((piece) => modelKey(piece, fold)));
  const byModel = new Map<string, P[]>();
  for (const piece of all) {
    const key = modelKey(piece, fold);
    if (wanted.has(key)) byModel.set(key, [...(byModel.get(key) ?? []), piece]);
  }
  return [...byModel.values()]
    .filter((rows) => rows.length > 1)
    .map((rows) => {
      const ordered = rows.toSorted((a, b) => (a.lockedAt < b.lockedAt ? -1 : 1));
      const steps = comparePairs(
        ordered.slice(1).map((piece, i): [Piece, Piece] => [piece, ordered[i] ?? piece]),
      );
      return { rows: ordered, steps };
    });
};

/** Pieces side by side, and each in its class of the whole catalogue. `blockedAt` names the tasks that gated one. */
export const compare = <P extends Piece>(
  chosen: readonly P[],
  all: readonly P[],
  blockedAt: (piece: P) => readonly string[],
): Compared<P> => {
  const classes = classesOf(all);
  const wanted = [...new Set(chosen.map(classKey))];
  const pooled = new Map(
    wanted.flatMap((key) => {
      const found = poolClass(classes.get(key) ?? []);
      return found ? [[key, found] as const] : [];
    }),
  );
  const figures = new Map(
    chosen.map((piece) => {
      const key = classKey(piece);
      const current = piece.state.kind === 'current';
      const notCurrent = {
        why: `It is ${piece.state.kind}: its class holds current records only.`,
      };
      const own: PieceFigures = {
        worst: worstTasks(piece, blockedAt(piece)),
        standing: current ? standingIn(piece, classes.get(key) ?? []) : notCurrent,
        shrunken: current
          ? (pooled.get(key)?.shrunken.get(piece.evaluation) ?? { why: 'Its class is not pooled.' })
          : notCurrent,
      };
      return [piece.evaluation, own] as const;
    }),
  );
  const pairs = comparePairs(allPairs(chosen));
  const made = pairs.filter((p) => p.comparable).length;
  return {
    figures,
    pairs,
    classes: [...pooled.values()].map((p) => p.summary),
    series: seriesOf(chosen, all),
    multiplicity: { pairs: made, byChance: 0.05 * made },
  };
};

/** A figure of the record as a screen takes it. */
export const shown = (figure: Parameters<typeof numberOf>[0]): Shown => {
  const value = numberOf(figure);
  return value === undefined
    ? { why: 'undefinedBecause' in figure ? figure.undefinedBecause : '' }
    : { value };
};
