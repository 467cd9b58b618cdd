import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { loadavg } from 'node:os';
import { clusterSection } from './suite/cluster-section.ts';
import { editsSection } from './suite/edits-section.ts';
import { machine, pinClients } from './suite/machine.ts';
import { panelSection } from './suite/panel-section.ts';
import { recordSection } from './suite/record-section.ts';
import { met, reportText, type Report } from './suite/report.ts';
import { catalogueSection, scaleSection } from './suite/scale-section.ts';
import { stockServers } from './suite/stock-servers.ts';

/**
 * `npm run bench`: speed and size of the server beside stock servers, as a table and as JSON in tests/.output/bench.json.
 * `-- --short` is for CI and takes less than a minute; `-- --only=edits,panel` runs a part. Ends with 1 when a ratio of
 * the gate is passed; seconds are printed against their goals, and fail nothing.
 */
const short = process.argv.includes('--short');
const only = process.argv
  .find((a) => a.startsWith('--only='))
  ?.slice(7)
  .split(',');
const report: Report = { machine: machine(), sections: [], goals: [], missing: [] };
if (!pinClients()) report.missing.push('a core of its own for each side: taskset cannot be had');
const say = (words: string): void => void process.stderr.write(`${words}\n`);

const stock = stockServers();
if ('missing' in stock) report.missing.push(`stock servers: ${stock.missing}`);

const parts: Record<string, () => Promise<void>> = {
  edits: async () => {
    const plan = short
      ? { rooms: 40, devices: 5, repeats: 1, seconds: 2, warm: 2 }
      : { rooms: 100, devices: 5, repeats: 3, seconds: 6, warm: 3 };
    const { section, goals } = await editsSection(plan, stock);
    report.sections.push(section);
    report.goals.push(...goals);
  },
  panel: async () => {
    const plan = short
      ? { sizes: [12], openings: 1, commands: 20 }
      : { sizes: [12, 50], openings: 5, commands: 150 };
    const { section, goals } = await panelSection(plan);
    report.sections.push(section);
    report.goals.push(...goals);
  },
  scale: async () => {
    const plan = short
      ? { evaluations: 100, locked: 10, repeats: 1, seconds: 2 }
      : { evaluations: 1000, locked: 300, repeats: 3, seconds: 6 };
    const { section, goals } = await scaleSection(plan);
    report.sections.push(section, await catalogueSection(plan.locked));
    report.goals.push(...goals);
  },
  record: async () => {
    report.sections.push(await recordSection(short ? [10_000] : [10_000, 100_000], short ? 1 : 3));
  },
  cluster: async () => {
    if (short && !only) return;
    const found = await clusterSection({
      rooms: 100,
      devices: 5,
      from: 300,
      most: 12_000,
      seconds: short ? 2 : 6,
      budget: short ? 75 : 400,
    });
    if (typeof found === 'string') report.missing.push(found);
    else report.sections.push(found);
  },
};

const unknown = only?.filter((name) => !(name in parts)) ?? [];
if (unknown.length > 0) {
  say(`There is no part "${unknown.join('", "')}". Parts: ${Object.keys(parts).join(', ')}.`);
  process.exit(2);
}
for (const [name, part] of Object.entries(parts)) {
  if (only && !only.includes(name)) continue;
  const start = performance.now();
  await part();
  say(`${name}: ${((performance.now() - start) / 1000).toFixed(0)} s`);
}
report.machine['load after'] = loadavg()[0] ?? 0;
process.stdout.write(`${reportText(report)}\n`);
const output = join(import.meta.dirname, '../.output');
mkdirSync(output, { recursive: true });
writeFileSync(join(output, 'bench.json'), `${JSON.stringify(report, null, 2)}\n`);
process.exit(report.goals.some((g) => g.gate && !met(g)) ? 1 : 0);
