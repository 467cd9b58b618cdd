/* Times the catalogue with 5,000 locked evaluations: start, search, filter, compare. Run: npm run bench:catalogue */
import { cpus } from 'node:os';
import { Catalogue } from '../../server/src/flows/catalogue.ts';
import { compareEvaluations, findInCatalogue } from '../../server/src/flows/compare.ts';
import { LiveLog, evaluationLog } from '../../server/src/flows/live-log.ts';
import { seededRandom } from '../../server/src/rehearse/random.ts';
import type { CatalogueQuery } from '../../shared-types/src/index.ts';
import { lockedBundle } from '../support/locked-bundle.ts';

const EVALUATIONS = Number(process.env['EVALUATIONS'] ?? 5000);
const SEED = 7;
const random = seededRandom(SEED);
const one = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;

const medianOf = (list: readonly number[]): number =>
  list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)] ?? 0;

/** Medians over `times` runs, milliseconds: of processor time, which other work beside does not stretch, and by the clock. */
const timed = async (what: string, times: number, run: () => unknown): Promise<void> => {
  const cpu: number[] = [];
  const clock: number[] = [];
  for (let i = 0; i < times; i++) {
    const from = performance.now();
    const used = process.cpuUsage();
    await run();
    const { user, system } = process.cpuUsage(used);
    cpu.push((user + system) / 1000);
    clock.push(performance.now() - from);
  }
  process.stdout.write(
    `${what.padEnd(52)} processor ${medianOf(cpu).toFixed(1)} ms, clock ${medianOf(clock).toFixed(1)} ms (of ${String(times)})\n`,
  );
};

const { app, panel } = await lockedBundle();
const [real] = await app.catalogue.all(app);
if (!real) throw new Error('there is no locked evaluation to copy');
const texts = await app.store.events(panel.evaluation);
const [line] = await app.store.catalogue();
const format = (JSON.parse(line?.text ?? '{}') as { format: number }).format;

const ids: string[] = [];
for (let i = 0; i < EVALUATIONS; i++) {
  const log = `ev_${String(i).padStart(22, '0')}`;
  ids.push(log);
  const value = (random() * 5).toFixed(3).replace(/0+$/u, '').replace(/\.$/u, '');
  const middle = Number(value);
  const entry = {
    ...real.row,
    evaluation: log,
    title: `Piece ${String(i)}`,
    specimen: {
      ...real.row.specimen,
      kind: one(['helmet', 'pads', 'torso', 'combined'] as const),
      sport: one(['gridiron', 'ice hockey', 'lacrosse', 'cricket']),
      maker: `Maker ${String(Math.floor(random() * 80))}`,
      model: `Model ${String(Math.floor(random() * 900))}`,
    },
    lockedAt: new Date(Date.UTC(2016, 0, 1) + random() * 10 * 365 * 24 * 3600_000).toISOString(),
    composite: { value },
    means: { value },
    interval: { lower: String(middle - 0.4), upper: String(middle + 0.4) },
    tasks: Array.from({ length: 30 }, (_, t) => ({
      task: `t${String(t)}`,
      title: `Task ${String(t)}`,
      value: Math.floor(random() * 6),
    })),
    items: [],
    byReviewer: Array.from({ length: 5 }, (_, r) => ({
      seat: `st_${String(i)}-${String(r)}`,
      value: middle + random() - 0.5,
    })),
  };
  await app.store.commit({
    appends: [{ log, from: 0, texts: [''] }],
    catalogue: [{ log, size: 1, text: JSON.stringify({ format, entry }) }],
  });
}

process.stdout.write(
  `${String(EVALUATIONS)} evaluations, 30 tasks each, seed ${String(SEED)}, Node ${process.version}, ${String(cpus().length)} cores\n`,
);
await timed('start: read the lines beside the logs', 3, () => new Catalogue().all(app));
await timed('made again from its events, one log', 20, () => {
  const log = new LiveLog(panel.evaluation, evaluationLog);
  log.take(texts, 0);
});
await app.catalogue.all(app);
app.catalogue = new Catalogue();
await app.catalogue.all(app);
const find = (query: CatalogueQuery) => () => findInCatalogue(app, query);
await timed('everything, newest first', 30, find({}));
await timed('search of two words', 30, find({ q: 'model 7 gridiron' }));
await timed(
  'filter by sport and kind, least hindrance first',
  30,
  find({ sport: 'lacrosse', kind: 'helmet', sort: 'gentlest' }),
);
await timed(
  'filter by day and maker',
  30,
  find({ maker: 'Maker 7', from: '2020-01-01', to: '2024-12-31' }),
);
await timed('compare 2', 30, () => compareEvaluations(app, ids.slice(0, 2)));
await timed('compare 12 (66 pairs, their classes pooled)', 30, () =>
  compareEvaluations(app, ids.slice(0, 12)),
);
process.stdout.write(`heap in use ${(process.memoryUsage().heapUsed / 1e6).toFixed(0)} MB\n`);
