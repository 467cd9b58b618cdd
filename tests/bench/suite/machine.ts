import { spawnSync } from 'node:child_process';
import { cpus, loadavg, release, totalmem } from 'node:os';
import { ALL_CORES, CLIENT_CORE } from './contestants.ts';

/** What the figures were measured on. */
export const machine = (): Record<string, string | number> => ({
  processor: cpus()[0]?.model.trim() ?? 'unknown',
  cores: cpus().length,
  'memory GB': totalmem() / 1e9,
  kernel: release(),
  node: process.version,
  'load before': loadavg()[0] ?? 0,
});

const keepTo = (cores: string): boolean =>
  spawnSync('taskset', ['-a', '-p', '-c', cores, String(process.pid)]).status === 0;

/** Keeps this process off the core of the measured server, where the machine has two and lets it. */
export const pinClients = (): boolean => keepTo(CLIENT_CORE);

/** Lets this process, and what it starts, run anywhere again. */
export const unpinClients = (): boolean => keepTo(ALL_CORES);
