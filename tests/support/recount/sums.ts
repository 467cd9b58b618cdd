import { tQuantile } from '../../../server/src/consensus/distributions.ts';
import type { ProtocolSection } from '../../../shared-types/src/index.ts';

/** Tasks by reviewers; undefined where nobody answered with a step. */
export type Cells = (number | undefined)[][];

export const present = (row: readonly (number | undefined)[]): number[] =>
  row.filter((x) => x !== undefined);

export const median = (values: readonly number[]): number | undefined => {
  const v = values.toSorted((a, b) => a - b);
  const [low, high] = [v[Math.ceil(v.length / 2) - 1], v[Math.floor(v.length / 2)]];
  return low === undefined || high === undefined ? undefined : (low + high) / 2;
};

export const mean = (values: readonly number[]): number | undefined =>
  values.length === 0 ? undefined : values.reduce((s, x) => s + x, 0) / values.length;

/** Mean absolute deviation from a centre. */
export const meanDistance = (values: readonly number[], centre: number): number =>
  values.reduce((s, x) => s + Math.abs(x - centre), 0) / values.length;

/** Square of the standard deviation, n - 1. */
export const variance = (values: readonly number[]): number => {
  const m = mean(values) ?? 0;
  return values.reduce((s, x) => s + (x - m) ** 2, 0) / (values.length - 1);
};

/** Hyndman and Fan's type 7, the usual default. */
export const quantile = (values: readonly number[], at: number): number => {
  const v = values.toSorted((a, b) => a - b);
  const h = (v.length - 1) * at;
  const low = v[Math.floor(h)] ?? Number.NaN;
  return low + (h - Math.floor(h)) * ((v[Math.ceil(h)] ?? low) - low);
};

/** t limits of a mean; its quantile is the program's, which tests/reference/distributions holds against SciPy. */
export const tLimits = (values: readonly number[], centre: number): [number, number] => {
  const half = tQuantile(0.975, values.length - 1) * Math.sqrt(variance(values) / values.length);
  return [centre - half, centre + half];
};

/** Welch's limits of a difference of two means, degrees of freedom after Satterthwaite. */
export const welch = (a: readonly number[], b: readonly number[]): [number, number, number] => {
  const [va, vb] = [variance(a) / a.length, variance(b) / b.length];
  const df = (va + vb) ** 2 / (va ** 2 / (a.length - 1) + vb ** 2 / (b.length - 1));
  const difference = (mean(a) ?? 0) - (mean(b) ?? 0);
  const half = tQuantile(0.975, df) * Math.sqrt(va + vb);
  return [difference, difference - half, difference + half];
};

const Z = 1.959963984540054;

/** Wilson (1927): limits of a share without continuity correction. */
export const wilson = (successes: number, of: number): [number, number] => {
  const share = successes / of;
  const centre = (share + Z ** 2 / (2 * of)) / (1 + Z ** 2 / of);
  const half =
    (Z * Math.sqrt((share * (1 - share)) / of + Z ** 2 / (4 * of ** 2))) / (1 + Z ** 2 / of);
  return [Math.max(0, centre - half), Math.min(1, centre + half)];
};

interface Part {
  id: string;
  weight: number;
  value: number | undefined;
  rated: number;
  of: number;
}

/** The weighted mean of sections, each the weighted mean of its rated tasks. */
export interface Whole {
  value: number | undefined;
  /** Share of the weight that has a value. */
  used: number;
  parts: Part[];
}

const weighted = (of: readonly { weight: number; value: number | undefined }[]) => {
  const with_ = of.filter((x) => x.value !== undefined);
  const weight = with_.reduce((s, x) => s + x.weight, 0);
  const sum = with_.reduce((s, x) => s + x.weight * (x.value ?? 0), 0);
  return { weight, value: weight > 0 ? sum / weight : undefined };
};

export const whole = (
  sections: readonly ProtocolSection[],
  of: (task: string) => number | undefined,
): Whole => {
  const parts = sections.map(({ id, weight, tasks }): Part => {
    const own = tasks.map((t) => ({ weight: t.weight, value: of(t.id) }));
    const rated = own.filter((t) => t.value !== undefined).length;
    return { id, weight, value: weighted(own).value, rated, of: tasks.length };
  });
  const { value, weight } = weighted(parts);
  return { value, used: weight / parts.reduce((s, x) => s + x.weight, 0), parts };
};

/**
 * Krippendorff's alpha with the ordinal metric, from the matrix of coincidences (Krippendorff 2011, Computing
 * Krippendorff's Alpha-Reliability): 1 - D_o / D_e.
 */
export const ordinalAlpha = (cells: Cells): number | undefined => {
  const units = cells.map(present).filter((row) => row.length >= 2);
  const points = [...new Set(units.flat())].toSorted((a, b) => a - b);
  const at = new Map(points.map((x, i) => [x, i]));
  const o = points.map(() => points.map(() => 0));
  for (const row of units) {
    for (const [i, x] of row.entries()) {
      for (const [j, y] of row.entries()) {
        const line = o[at.get(x) ?? 0];
        const col = at.get(y) ?? 0;
        if (i !== j && line) line[col] = (line[col] ?? 0) + 1 / (row.length - 1);
      }
    }
  }
  const n = o.map((line) => line.reduce((s, x) => s + x, 0));
  const total = n.reduce((s, x) => s + x, 0);
  let observed = 0;
  let expected = 0;
  for (let c = 0; c < points.length; c++) {
    let between = n[c] ?? 0;
    for (let k = c + 1; k < points.length; k++) {
      between += n[k] ?? 0;
      const distance = (between - ((n[c] ?? 0) + (n[k] ?? 0)) / 2) ** 2;
      observed += (o[c]?.[k] ?? 0) * distance;
      expected += (n[c] ?? 0) * (n[k] ?? 0) * distance;
    }
  }
  return expected === 0 ? undefined : 1 - ((total - 1) * observed) / expected;
};

/** All pairs of ratings of one task: how many there are, and the share within so many points. */
export const pairsWithin = (cells: Cells, within: number): { n: number; share: number } => {
  const distances = cells
    .map(present)
    .flatMap((row) => row.flatMap((x, i) => row.slice(i + 1).map((y) => Math.abs(x - y))));
  const close = distances.filter((d) => d <= within).length;
  return { n: distances.length, share: close / distances.length };
};
