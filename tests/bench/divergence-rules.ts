import earlier from '../../fixtures/reference/divergence-simulation.json' with { type: 'json' };
import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import { divergenceRules } from '../support/divergence-rules.ts';
import { simulatedPanel } from '../support/simulated-panels.ts';

/**
 * How often each rule flags honest panels, lone dissenters and split panels, by the shipped code, beside an
 * earlier simulation with code of its own. Run: `npm run simulate`; PANELS=n (30,000) panels a cell, SEED=n.
 */
const panels = Number(process.env['PANELS'] ?? 30_000);
const seed = Number(process.env['SEED'] ?? 20260101);
const random = seededChance(seed).stream();
const print = (line: string): void => {
  process.stdout.write(`${line}
`);
};

const percent = (count: number): number => (100 * count) / panels;
const { reviewers, scenarios } = earlier;
const rows = earlier.rules.filter((r) => Object.hasOwn(divergenceRules, r.rule));
const counts = new Map(rows.map((r) => [r.rule, scenarios.map(() => reviewers.map(() => 0))]));

scenarios.forEach((scenario, s) => {
  reviewers.forEach((k, at) => {
    for (let i = 0; i < panels; i++) {
      const ratings = simulatedPanel(scenario, k, random);
      for (const { rule } of rows) {
        const cells = counts.get(rule)?.[s];
        if (cells && divergenceRules[rule]?.(ratings) === true) cells[at] = (cells[at] ?? 0) + 1;
      }
    }
  });
});

print(
  `Percent of panels flagged, ${reviewers.join('/')} reviewers; ${String(panels)} panels a cell, seed ${String(seed)}.`,
);
print('Each line: the shipped code | the earlier simulation.\n');
let worst = { error: 0, where: '' };
for (const { rule, flagged } of rows) {
  print(rule);
  scenarios.forEach((scenario, s) => {
    const ours = (counts.get(rule)?.[s] ?? []).map(percent);
    const theirs = flagged[s] ?? [];
    ours.forEach((x, i) => {
      const error = Math.abs(x - (theirs[i] ?? 0));
      if (error > worst.error) worst = { error, where: `${rule}, ${scenario.name}` };
    });
    const shown = ours.map((x) => x.toFixed(1).padStart(5)).join('');
    print(`  ${scenario.name.padEnd(20)}${shown}  |  ${theirs.join('/')}`);
  });
}
print(
  `\nLargest difference ${worst.error.toFixed(1)} points (${worst.where}); the earlier figures are whole percents.\n` +
    'Of three ratings the shipped interpercentile rule says nothing; the earlier simulation let it.',
);
