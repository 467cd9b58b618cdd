import fc from 'fast-check';
import type { RatingCells, RatingScale } from '../../server/src/consensus/table.ts';

/** The seed of every property run; SEED=n plays another. fast-check prints it, with the path, on a failure. */
export const runs = (numRuns = 200): { seed: number; numRuns: number } => ({
  seed: Number(process.env['SEED'] ?? 20260101),
  numRuns,
});

export interface ScaledCells {
  scale: RatingScale;
  cells: RatingCells;
}

export const scales: fc.Arbitrary<RatingScale> = fc
  .record({
    min: fc.integer({ min: -3, max: 3 }),
    points: fc.integer({ min: 2, max: 11 }),
    better: fc.constantFrom('lower' as const, 'higher' as const),
  })
  .map(({ min, points, better }) => ({ min, max: min + points - 1, better }));

/** Integer ratings of one task. */
export const ratings = (scale: RatingScale, minLength = 1): fc.Arbitrary<number[]> =>
  fc.array(fc.integer({ min: scale.min, max: scale.max }), { minLength, maxLength: 12 });

const rows = (scale: RatingScale, columns: number, absent: boolean): fc.Arbitrary<RatingCells> => {
  const step = fc.integer({ min: scale.min, max: scale.max });
  const cell = absent ? fc.option(step, { nil: undefined, freq: 4 }) : step;
  return fc.array(fc.array(cell, { minLength: columns, maxLength: columns }), {
    minLength: 2,
    maxLength: 12,
  });
};

/** Tables of 2 to 8 reviewers and 2 to 12 tasks on any scale, some cells absent. */
export const tables = (absent = true): fc.Arbitrary<ScaledCells> =>
  fc
    .tuple(scales, fc.integer({ min: 2, max: 8 }))
    .chain(([scale, columns]) => rows(scale, columns, absent).map((cells) => ({ scale, cells })));

/** A table with an order to shuffle its rows and one to shuffle its columns. */
export const shuffledTables: fc.Arbitrary<ScaledCells & { shuffled: RatingCells }> = tables().chain(
  ({ scale, cells }) => {
    const order = (n: number): fc.Arbitrary<number[]> =>
      fc.shuffledSubarray(
        Array.from({ length: n }, (_, i) => i),
        { minLength: n, maxLength: n },
      );
    return fc.tuple(order(cells.length), order(cells[0]?.length ?? 0)).map(([r, c]) => ({
      scale,
      cells,
      shuffled: r.map((i) => c.map((j) => cells[i]?.[j])),
    }));
  },
);
