import { describe, expect, test } from 'vitest';
import { algorithmA } from '../../server/src/consensus/algorithm-a.ts';
import { dependability } from '../../server/src/consensus/dependability.ts';
import { mandel } from '../../server/src/consensus/mandel.ts';
import { nestedComponents, nestedDependability } from '../../server/src/consensus/nested-study.ts';
import { randomEffects } from '../../server/src/consensus/random-effects.ts';
import {
  threeFacetComponents,
  threeFacetDependability,
} from '../../server/src/consensus/three-facet-study.ts';
import {
  componentsByMeanSquares,
  componentsByReml,
} from '../../server/src/consensus/variance-components.ts';
import { near, reference } from '../support/reference.ts';

interface Studies {
  brennan_2001_data1_pxi: {
    input: { ratings: number[][] };
    expected: {
      var: Record<'p' | 'i' | 'pi', number>;
      G: number;
      Phi: number;
      dstudy: Record<string, { G: number; Phi: number }>;
    };
  };
  brennan_2001_data3_pxixo: {
    input: { 'y[o][p][i]': { o1: number[][]; o2: number[][] } };
    expected: { var: Record<string, number>; G: number; Phi: number };
  };
  brennan_2001_data4_px_r_in_t: {
    input: { ratings: number[][] };
    expected: { var: Record<string, number>; G: number; Phi: number };
  };
  iso5725_5_creosote_algA: { input: { x: number[] } };
  astm_e691_glucose: {
    input: { materials: Record<string, number[][]> };
    expected: { computed: Record<string, { h: number[]; k: number[]; s_r: number }> };
  };
  bcg_reml: {
    input: { counts: Record<'tpos' | 'tneg' | 'cpos' | 'cneg', number[]> };
  };
}
const { examples } = reference<{ examples: Studies }>('published-studies');

/** Half of the last printed digit, and a little for what the print itself was rounded from. */
const printed = (digits: number): number => 0.51 * 10 ** -digits;

/** Two D-study values of the book are printed cut, not rounded: 0.819 for 0.8194, 0.740 for 0.7407. */
const cutOrRounded = (digits: number): number => 1.01 * 10 ** -digits;

describe('Brennan 2001, synthetic data 1 (p x i), Tables 2.2 and 2.3', () => {
  const { input, expected } = examples.brennan_2001_data1_pxi;
  const found = componentsByMeanSquares(input.ratings);

  test('components as printed', () => {
    near(found?.task, expected.var.p, 'p', printed(4));
    near(found?.reviewer, expected.var.i, 'i', printed(4));
    near(found?.residual, expected.var.pi, 'pi', printed(4));
  });
  test('REML agrees with mean squares on this complete table', () => {
    const fitted = componentsByReml(input.ratings);
    near(fitted?.task, found?.task, 'p', 1e-8);
    near(fitted?.residual, found?.residual, 'pi', 1e-8);
  });
  test.each(Object.entries(expected.dstudy))('D-study for %s items', (n, d) => {
    const at = found && dependability(found, Number(n));
    near(at?.g, d.G, 'G', cutOrRounded(3));
    near(at?.phi, d.Phi, 'Phi', cutOrRounded(3));
  });
});

test('Brennan 2001, synthetic data 3 (p x i x o): components, G and Phi as printed', () => {
  const { input, expected } = examples.brennan_2001_data3_pxixo;
  const { o1, o2 } = input['y[o][p][i]'];
  const cube = o1.map((row, p) => row.map((x, i) => [x, o2[p]?.[i] ?? Number.NaN]));
  const found = threeFacetComponents(cube);
  near(found?.piece, expected.var['p'], 'p', printed(4));
  near(found?.reviewer, expected.var['i'], 'i', printed(4));
  near(found?.trial, expected.var['o'], 'o', printed(4));
  near(found?.pieceReviewer, expected.var['pi'], 'pi', printed(4));
  near(found?.pieceTrial, expected.var['po'], 'po', printed(4));
  near(found?.reviewerTrial, expected.var['io'], 'io', printed(4));
  near(found?.residual, expected.var['pio'], 'pio', printed(4));
  const at = found && threeFacetDependability(found, 4, 2);
  near(at?.g, expected.G, 'G', printed(2));
  near(at?.phi, expected.Phi, 'Phi', printed(2));
});

test('Brennan 2001, synthetic data 4 (p x (r:t)), Table 3.2: components, G and Phi as printed', () => {
  const { input, expected } = examples.brennan_2001_data4_px_r_in_t;
  const cube = input.ratings.map((row) => [row.slice(0, 4), row.slice(4, 8), row.slice(8)]);
  const found = nestedComponents(cube);
  near(found?.piece, expected.var['p'], 'p', printed(4));
  near(found?.task, expected.var['t'], 't', printed(4));
  near(found?.reviewer, expected.var['r:t'], 'r:t', printed(4));
  near(found?.pieceTask, expected.var['pt'], 'pt', printed(4));
  near(found?.residual, expected.var['pr:t'], 'pr:t', printed(4));
  const at = found && nestedDependability(found, 3, 4);
  near(at?.g, expected.G, 'G', printed(2));
  near(at?.phi, expected.Phi, 'Phi', printed(2));
  expect(nestedComponents(cube.map((tasks) => tasks.slice(0, 1)))).toBeUndefined();
});

test('ISO 5725-5:1998, creosote means: Algorithm A (computed by metRology, not printed)', () => {
  const found = algorithmA(examples.iso5725_5_creosote_algA.input.x);
  near(found?.mean, 20.41214, 'robust mean', 5e-6);
  near(found?.sd, 1.06984, 'robust standard deviation', 5e-6);
});

const glucose = examples.astm_e691_glucose;
test.each(Object.entries(glucose.expected.computed))(
  'ASTM E691, glucose in serum, material %s: h, k, repeatability (computed)',
  (material, e) => {
    const found = mandel(glucose.input.materials[material] ?? []);
    near(found?.repeatability, e.s_r, 's_r');
    e.h.forEach((h, i) => near(found?.h[i], h, `h ${String(i + 1)}`));
    e.k.forEach((k, i) => near(found?.k[i], k, `k ${String(i + 1)}`));
  },
);

test('Viechtbauer 2010, BCG trials: REML as printed by metafor', () => {
  const { tpos, tneg, cpos, cneg } = examples.bcg_reml.input.counts;
  const at = (counts: number[], i: number): number => counts[i] ?? Number.NaN;
  const y = tpos.map((t, i) =>
    Math.log(t / (t + at(tneg, i)) / (at(cpos, i) / (at(cpos, i) + at(cneg, i)))),
  );
  const v = tpos.map(
    (t, i) => 1 / t - 1 / (t + at(tneg, i)) + 1 / at(cpos, i) - 1 / (at(cpos, i) + at(cneg, i)),
  );
  const found = randomEffects(y, v, 'REML');
  near(found?.tau2, 0.313, 'tau2', printed(3));
  near(found?.q, 152.23, 'Q', printed(2) / 152.23);
  near((found?.i2 ?? 0) * 100, 92.2, 'I2', printed(1) / 92.2);
  const ratio = (x: number | undefined): number | undefined => x && Math.exp(x);
  near(ratio(found?.mu), 0.489, 'risk ratio', printed(3));
  near(ratio(found?.limits[0]), 0.344, 'lower', printed(3));
  near(ratio(found?.limits[1]), 0.696, 'upper', printed(3));
  near(ratio(found?.prediction[0]), 0.155, 'prediction lower', printed(3));
  near(ratio(found?.prediction[1]), 1.549, 'prediction upper', printed(3));
});
