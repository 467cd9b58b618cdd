import { readdirSync, readFileSync } from 'node:fs';

/** Clock ticks of a second, as Linux counts them for programs. */
const TICKS = 100;

/** Fields of /proc/PID/stat after the name, which may hold spaces; undefined when the process is gone. */
const statOf = (pid: number | string): number[] | undefined => {
  try {
    const text = readFileSync(`/proc/${String(pid)}/stat`, 'utf8');
    return text
      .slice(text.lastIndexOf(')') + 4)
      .split(' ')
      .map(Number);
  } catch {
    return undefined;
  }
};

const [PARENT, USER, SYSTEM, OF_CHILDREN, SYSTEM_OF_CHILDREN] = [0, 10, 11, 12, 13];

/**
 * Processor seconds that a process, its children that are there and those that ended have used since they began; 0 where the
 * machine does not tell. Counted in hundredths.
 */
export const processorOf = (pid: number): number => {
  const own = statOf(pid);
  if (!own) return 0;
  const at = (stat: readonly number[], ...fields: number[]): number =>
    fields.reduce((sum, f) => sum + (stat[f] ?? 0), 0);
  let ticks = at(own, USER, SYSTEM, OF_CHILDREN, SYSTEM_OF_CHILDREN);
  for (const name of readdirSync('/proc')) {
    if (!/^\d+$/u.test(name)) continue;
    const stat = statOf(name);
    if (stat?.[PARENT] === pid) ticks += at(stat, USER, SYSTEM);
  }
  return ticks / TICKS;
};
