import { monitorEventLoopDelay } from 'node:perf_hooks';

/**
 * Runs the real program in a process of its own, and answers what cannot be seen from outside: memory, stalls, and
 * whether something reached `Object.prototype`. Its wall clock can be set, and what recurs is then done at once.
 */
export interface Probe {
  rss: number;
  peakRss: number;
  stallMs: number;
  polluted: boolean;
}

/** The server's own look at the clock: it comes every half minute, or when the clock is moved by hand. */
const HALF_MINUTE_MS = 30_000;
const recurring: (() => void)[] = [];
const every = globalThis.setInterval;
globalThis.setInterval = ((work: () => void, ms?: number) => {
  if (ms === HALF_MINUTE_MS) recurring.push(work);
  return every(work, ms);
}) as typeof setInterval;

let offset = 0;
const wallClock = Date.now.bind(Date);
Date.now = () => wallClock() + offset;

const delays = monitorEventLoopDelay({ resolution: 10 });
delays.enable();
let peak = 0;
setInterval(() => {
  peak = Math.max(peak, process.memoryUsage.rss());
}, 25).unref();

const probe = (): Probe => {
  const rss = process.memoryUsage.rss();
  const seen = {
    rss,
    peakRss: Math.max(peak, rss),
    stallMs: delays.max / 1e6,
    polluted: 'polluted' in {} || 'isModerator' in {},
  };
  peak = rss;
  delays.reset();
  return seen;
};

process.on('message', (message: { n: number; ask: 'probe' | 'clock'; seconds?: number }) => {
  if (message.ask === 'clock') {
    offset = (message.seconds ?? 0) * 1000;
    for (const work of recurring) work();
  }
  process.send?.({ n: message.n, probe: probe() });
});

// Ends with its parent.
let over = false;
process.on('disconnect', () => {
  if (!over) process.exit(0);
});

// The built program, as people start it: with its pages, its worker and without the type stripper in between.
const built = new URL('../../server/dist/cli.js', import.meta.url).href;
const { main } = (await import(built)) as { main: (argv: readonly string[]) => Promise<number> };
process.exitCode = await main(process.argv.slice(2));
over = true;
// The channel to the parent would keep the process alive.
if (process.connected) process.disconnect();
