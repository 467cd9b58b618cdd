import { criterionMeasures, type Protocol, type ProtocolTask } from '@unhindered/shared-types';
import type { RawFault } from './cross-faults.ts';

const unitFault = (task: ProtocolTask, p: Protocol): string | undefined => {
  const { criterion } = task;
  if (!criterion) return undefined;
  const parts = criterion.kind === 'any' ? criterion.of : [criterion];
  for (const part of parts) {
    const wanted = { 'not-done-within': 's', 'pooled-share': '%' }[String(part.kind)];
    if (wanted === undefined || !('measure' in part)) continue;
    const unit = p.measures.find((m) => m.id === part.measure)?.unit;
    if (unit !== undefined && unit !== wanted) {
      return `"${part.measure}" is taken in ${unit === '' ? 'no unit' : unit}, and this needs ${wanted}`;
    }
  }
  return undefined;
};

const ofTask = (p: Protocol, task: ProtocolTask, path: string): RawFault[] => {
  const { criterion } = task;
  if (!criterion) return [];
  const faults: RawFault[] = [];
  if (task.critical === null) {
    faults.push({
      path,
      fault: `the task "${task.id}" can never gate, so nothing decides its criterion`,
      remedy: 'Write the criterion as a sentence under "critical", or take this one out.',
    });
  }
  for (const id of criterionMeasures(criterion)) {
    if (task.measures.includes(id)) continue;
    faults.push({
      path,
      fault: `the criterion asks for the measure "${id}", which the task does not take`,
      remedy: 'Add it to the measures of the task, or ask for one of them.',
    });
  }
  const unit = unitFault(task, p);
  if (unit !== undefined) {
    faults.push({ path, fault: unit, remedy: 'Ask for a measure of that unit.' });
  }
  return faults;
};

/** Faults of the criteria that only the whole file shows: PR-2. */
export const criterionFaults = (p: Protocol): RawFault[] =>
  p.sections.flatMap((section, i) =>
    section.tasks.flatMap((task, j) =>
      ofTask(p, task, `/sections/${String(i)}/tasks/${String(j)}/criterion`),
    ),
  );
