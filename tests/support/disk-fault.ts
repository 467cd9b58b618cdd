import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { diskPlan, WORDS, type DiskPlan } from './disk-plan.ts';
import { preload } from './preload.ts';
import { temporaryDirectory } from './temporary-directory.ts';

/** Builds the library; returns a plan, and the environment of a process whose files below `under` obey it. */
export const failingDisk = (under: string): { plan: DiskPlan; environment: NodeJS.ProcessEnv } => {
  const file = join(temporaryDirectory(), 'plan');
  writeFileSync(file, Buffer.alloc(WORDS * 4));
  const environment = { LD_PRELOAD: preload('disk-fault'), FAULT_PLAN: file, FAULT_UNDER: under };
  return { plan: diskPlan(file), environment };
};
