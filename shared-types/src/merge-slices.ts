import type { EvaluationView } from './view.ts';

const TASK = 'tasks/';

/**
 * An evaluation's view with pushed slices in it; slices that did not come stay as they are (by reference, so that
 * a screen redraws only what changed). A null `tasks/<id>` is gone.
 */
export const mergeSlices = (
  view: Partial<EvaluationView>,
  slices: Record<string, unknown>,
): Partial<EvaluationView> => {
  const tasks = { ...view.tasks };
  const rest: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(slices)) {
    if (!key.startsWith(TASK)) rest[key] = value;
    else if (value === null) delete tasks[key.slice(TASK.length)];
    else tasks[key.slice(TASK.length)] = value as EvaluationView['tasks'][string];
  }
  return { ...view, ...rest, tasks };
};
