/** Variance by source of a complete piece x reviewer x trial table, one value a cell. */
export interface ThreeFacetComponents {
  piece: number;
  reviewer: number;
  trial: number;
  pieceReviewer: number;
  pieceTrial: number;
  reviewerTrial: number;
  residual: number;
}

/** values[piece][reviewer][trial], complete. */
type Cube = readonly (readonly (readonly number[])[])[];

const mean = (values: readonly number[]): number =>
  values.reduce((sum, x) => sum + x, 0) / values.length;

/**
 * Expected-mean-squares components, negative ones as estimated. Undefined unless every facet has two levels
 * and the table is complete. Source: Brennan, Generalizability Theory, 2001, chapter 3.
 */
export const threeFacetComponents = (cube: Cube): ThreeFacetComponents | undefined => {
  const ne = cube.length;
  const nr = cube[0]?.length ?? 0;
  const nt = cube[0]?.[0]?.length ?? 0;
  const complete = cube.every((p) => p.length === nr && p.every((r) => r.length === nt));
  if (ne < 2 || nr < 2 || nt < 2 || !complete) return undefined;
  const x = (e: number, r: number, t: number): number => cube[e]?.[r]?.[t] ?? 0;
  const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
  const [es, rs, ts] = [range(ne), range(nr), range(nt)];
  const er = es.map((e) => rs.map((r) => mean(ts.map((t) => x(e, r, t)))));
  const et = es.map((e) => ts.map((t) => mean(rs.map((r) => x(e, r, t)))));
  const rt = rs.map((r) => ts.map((t) => mean(es.map((e) => x(e, r, t)))));
  const me = er.map(mean);
  const mr = rs.map((r) => mean(es.map((e) => er[e]?.[r] ?? 0)));
  const mt = ts.map((t) => mean(es.map((e) => et[e]?.[t] ?? 0)));
  const g = mean(me);
  const square = (values: readonly number[]): number => values.reduce((s, v) => s + v * v, 0);
  const two = (m: number[][], a: number[], b: number[]): number[] =>
    m.flatMap((row, i) => row.map((v, j) => v - (a[i] ?? 0) - (b[j] ?? 0) + g));
  const rest = es.flatMap((e) =>
    rs.flatMap((r) =>
      ts.map(
        (t) =>
          x(e, r, t) -
          (er[e]?.[r] ?? 0) -
          (et[e]?.[t] ?? 0) -
          (rt[r]?.[t] ?? 0) +
          (me[e] ?? 0) +
          (mr[r] ?? 0) +
          (mt[t] ?? 0) -
          g,
      ),
    ),
  );
  const msE = (nr * nt * square(me.map((m) => m - g))) / (ne - 1);
  const msR = (ne * nt * square(mr.map((m) => m - g))) / (nr - 1);
  const msT = (ne * nr * square(mt.map((m) => m - g))) / (nt - 1);
  const msER = (nt * square(two(er, me, mr))) / ((ne - 1) * (nr - 1));
  const msET = (nr * square(two(et, me, mt))) / ((ne - 1) * (nt - 1));
  const msRT = (ne * square(two(rt, mr, mt))) / ((nr - 1) * (nt - 1));
  const msX = square(rest) / ((ne - 1) * (nr - 1) * (nt - 1));
  return {
    piece: (msE - msER - msET + msX) / (nr * nt),
    reviewer: (msR - msER - msRT + msX) / (ne * nt),
    trial: (msT - msET - msRT + msX) / (ne * nr),
    pieceReviewer: (msER - msX) / nt,
    pieceTrial: (msET - msX) / nr,
    reviewerTrial: (msRT - msX) / ne,
    residual: msX,
  };
};

/** Dependability of a piece's mean over `reviewers` and `trials`; negative components count as zero. */
export const threeFacetDependability = (
  components: ThreeFacetComponents,
  reviewers: number,
  trials: number,
): { g: number; phi: number; semAbsolute: number; semRelative: number } | undefined => {
  const c = (key: keyof ThreeFacetComponents): number => Math.max(0, components[key]);
  if (c('piece') === 0 || reviewers < 1 || trials < 1) return undefined;
  const both = reviewers * trials;
  const relative = c('pieceReviewer') / reviewers + c('pieceTrial') / trials + c('residual') / both;
  const absolute =
    relative + c('reviewer') / reviewers + c('trial') / trials + c('reviewerTrial') / both;
  return {
    g: c('piece') / (c('piece') + relative),
    phi: c('piece') / (c('piece') + absolute),
    semAbsolute: Math.sqrt(absolute),
    semRelative: Math.sqrt(relative),
  };
};
