/** Components of a study in which every task has reviewers of its own: pieces x (reviewers : tasks). */
export interface NestedComponents {
  piece: number;
  task: number;
  /** Reviewers within tasks. */
  reviewer: number;
  pieceTask: number;
  residual: number;
}

/** `ratings[piece][task][reviewer]`, complete, the same number of reviewers in every task. */
type Cube = readonly (readonly (readonly number[])[])[];

const mean = (values: readonly number[]): number =>
  values.reduce((sum, x) => sum + x, 0) / values.length;

/**
 * Expected-mean-squares estimates, negative ones as estimated. Undefined with fewer than two pieces, tasks or
 * reviewers, or when a cell is missing. Source: Brennan, Generalizability Theory, 2001, chapter 3.
 */
export const nestedComponents = (cube: Cube): NestedComponents | undefined => {
  const [np, nt, nr] = [cube.length, cube[0]?.length ?? 0, cube[0]?.[0]?.length ?? 0];
  if (np < 2 || nt < 2 || nr < 2) return undefined;
  const whole = cube.every((p) => p.length === nt && p.every((t) => t.length === nr));
  if (!whole) return undefined;
  const grand = mean(cube.flat(2));
  const piece = cube.map((p) => mean(p.flat()));
  const task = Array.from({ length: nt }, (_, t) => mean(cube.flatMap((p) => p[t] ?? [])));
  const pieceTask = cube.map((p) => p.map(mean));
  const reviewer = task.map((_, t) =>
    Array.from({ length: nr }, (_r, r) => mean(cube.map((p) => p[t]?.[r] ?? 0))),
  );
  const squares = (terms: readonly number[], each: number): number =>
    each * terms.reduce((sum, x) => sum + x * x, 0);
  const at = (t: number): number => task[t] ?? 0;
  const msPiece =
    squares(
      piece.map((x) => x - grand),
      nt * nr,
    ) /
    (np - 1);
  const within = reviewer.flatMap((row, t) => row.map((x) => x - at(t)));
  const msReviewer = squares(within, np) / (nt * (nr - 1));
  const both = pieceTask.flatMap((row, p) =>
    row.map((x, t) => x - (piece[p] ?? 0) - at(t) + grand),
  );
  const msPieceTask = squares(both, nr) / ((np - 1) * (nt - 1));
  const msTask =
    squares(
      task.map((x) => x - grand),
      np * nr,
    ) /
    (nt - 1);
  const rest = cube.flatMap((tasks, p) =>
    tasks.flatMap((row, t) =>
      row.map((x, r) => x - (pieceTask[p]?.[t] ?? 0) - (reviewer[t]?.[r] ?? 0) + at(t)),
    ),
  );
  const msRest = squares(rest, 1) / ((np - 1) * nt * (nr - 1));
  return {
    piece: (msPiece - msPieceTask) / (nt * nr),
    task: (msTask - msPieceTask - msReviewer + msRest) / (np * nr),
    reviewer: (msReviewer - msRest) / np,
    pieceTask: (msPieceTask - msRest) / nr,
    residual: msRest,
  };
};

/** Dependability of a piece's mean over `tasks` with `reviewers` each; negative components count as zero. */
export const nestedDependability = (
  components: NestedComponents,
  tasks: number,
  reviewers: number,
): { g: number; phi: number } | undefined => {
  const c = (key: keyof NestedComponents): number => Math.max(0, components[key]);
  if (c('piece') === 0 || tasks < 1 || reviewers < 1) return undefined;
  const relative = c('pieceTask') / tasks + c('residual') / (tasks * reviewers);
  const absolute = relative + c('task') / tasks + c('reviewer') / (tasks * reviewers);
  return { g: c('piece') / (c('piece') + relative), phi: c('piece') / (c('piece') + absolute) };
};
