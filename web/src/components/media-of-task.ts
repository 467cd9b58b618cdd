import type { EvaluationView } from '@unhindered/shared-types';

/** Photos and clips of a task or of one of its trials whose files are there. */
export const mediaOfTask = ({ media = [], trials = {} }: Partial<EvaluationView>, task: string) =>
  media.filter(
    ({ place, removed }) =>
      removed === null &&
      (place.of === 'task'
        ? place.task === task
        : (trials[task] ?? []).some((t) => t.key === place.key)),
  );
