import { readFileSync } from 'node:fs';

/** Processor seconds that the machine was busy since it started, all cores together. */
const busy = (): number => {
  const fields = /^cpu +(.*)$/mu.exec(readFileSync('/proc/stat', 'utf8'))?.[1] ?? '';
  const ticks = fields.split(' ').map(Number);
  // All but the fourth and fifth, idle and waiting for the disk, and the guests, which are counted in the first two.
  const used = ticks.filter((_, i) => i !== 3 && i !== 4 && i < 8);
  return used.reduce((sum, t) => sum + t, 0) / 100;
};

/**
 * Begins to watch what else the machine does; the returned function says how many cores other processes used since,
 * given the processor seconds that server and clients used. Undefined where the machine does not tell.
 */
export const watchNoise = (): ((own: number) => number | undefined) => {
  const start = performance.now();
  let before: number;
  try {
    before = busy();
  } catch {
    return () => undefined;
  }
  return (own) => {
    const seconds = (performance.now() - start) / 1000;
    return Math.max(0, (busy() - before - own) / seconds);
  };
};
