import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { analyse } from '../../server/src/analysis/analyse.ts';
import type { RatingSource } from '../../server/src/analysis/rating-source.ts';
import { insight } from '../../server/src/evaluation/insight.ts';
import { figureWorkload, liveSet } from '../support/figure-workload.ts';

/**
 * Milliseconds of the live set (medians, flags, alpha, composite), the full set (everything `analyse` prints but
 * what is resampled) and the moderator's insight; cold is the first call of the process. Beside it the core of
 * both sets in NumPy and SciPy, in the same run, where /usr/bin/python3 has them. Run: `npm run bench:figures`.
 */
const RUNS = 15;
const print = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
const ms = (work: () => unknown): number => {
  const start = performance.now();
  work();
  return performance.now() - start;
};
const middle = (values: number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? 0;
const warm = (work: () => unknown, runs: number): number =>
  middle(Array.from({ length: runs }, () => ms(work)));

interface Twin {
  live: number;
  full: number;
  flagged: number;
  alpha: number;
  composite: number;
  reml: [number, number, number];
  versions: string;
}

/** The same figures by NumPy and SciPy; undefined where they are not installed. */
const twin = ({ table, sections }: RatingSource): Twin | undefined => {
  const question = {
    cells: table.cells.map((row) => row.map((x) => x ?? null)),
    sections: sections.map((s) => ({
      weight: s.weight,
      rows: s.tasks.map((t) => table.tasks.indexOf(t.id)),
    })),
    runs: RUNS,
  };
  const script = join(import.meta.dirname, 'statistics.py');
  const run = spawnSync('/usr/bin/python3', [script], {
    input: JSON.stringify(question),
    encoding: 'utf8',
  });
  return run.status === 0 ? (JSON.parse(run.stdout) as Twin) : undefined;
};

const small = figureWorkload(30, 12);
const question = (s: RatingSource) => ({
  table: s.table,
  sections: s.sections,
  rule: { id: 'D1', lone: 2.5, split: 1 } as const,
});
const coldLive = ms(() => liveSet(small));
const coldFull = ms(() => analyse(small, null));
print(`30 tasks x 12 reviewers, medians of ${String(RUNS)}; Node ${process.version}`);
print(
  `  live set     cold ${coldLive.toFixed(2)}  warm ${warm(() => liveSet(small), RUNS).toFixed(2)} ms`,
);
print(
  `  full set     cold ${coldFull.toFixed(1)}  warm ${warm(() => analyse(small, null), RUNS).toFixed(1)} ms`,
);
print(
  `  insight      warm ${warm(() => insight(question(small)), RUNS).toFixed(1)} ms (in its own thread)`,
);

const other = twin(small);
if (other) {
  const ours = liveSet(small);
  const { reml } = analyse(small, null).variance;
  print(`  ${other.versions}: live ${other.live.toFixed(2)}, full ${other.full.toFixed(1)} ms`);
  const ratio = (theirs: number, work: () => unknown): string =>
    (theirs / warm(work, RUNS)).toFixed(1);
  print(
    `  NumPy and SciPy take ${ratio(other.live, () => liveSet(small))} times as long for the live set, ` +
      `${ratio(other.full, () => analyse(small, null))} times for the core of the full set`,
  );
  const alpha = ours.alpha.ok ? ours.alpha.value : Number.NaN;
  const value = ours.composite.value.ok ? ours.composite.value.value : Number.NaN;
  const apart = Math.max(
    Math.abs(alpha - other.alpha),
    Math.abs(value - other.composite),
    Math.abs((reml?.task ?? 0) - other.reml[0]),
    Math.abs((reml?.reviewer ?? 0) - other.reml[1]),
    Math.abs(ours.flagged - other.flagged),
  );
  print(
    `  largest difference of flags, alpha, composite and components: ${apart.toExponential(1)}`,
  );
  if (!(apart < 1e-7)) process.exitCode = 1;
} else print('  NumPy and SciPy are not installed for /usr/bin/python3: no ratio');

print('\nGrowth, warm ms (and per 1,000 cells)');
for (const [tasks, reviewers] of [
  [30, 12],
  [60, 24],
  [125, 30],
  [250, 60],
  [500, 60],
] as const) {
  const source = figureWorkload(tasks, reviewers);
  const cells = (tasks * reviewers) / 1000;
  const live = warm(() => liveSet(source), 5);
  const full = warm(() => analyse(source, null), 3);
  print(
    `  ${String(tasks).padStart(3)} x ${String(reviewers).padEnd(3)} live ${live.toFixed(1).padStart(7)} (${(live / cells).toFixed(1)})` +
      `   full ${full.toFixed(0).padStart(6)} (${(full / cells).toFixed(0)})`,
  );
}
