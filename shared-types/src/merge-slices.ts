import type { EvaluationView } from './view.ts';

/** Parts of a view that hold one slice a task, under `<part>/<task>`. */
const BY_TASK = ['tasks', 'trials', 'evidence'] as const;

/**
 * An evaluation's view with pushed slices in it; slices that did not come stay as they are (by reference, so that
 * a screen redraws only what changed). A null `tasks/<id>` is gone.
 */
export const mergeSlices = (
  view: Partial<EvaluationView>,
  slices: Record<string, unknown>,
): Partial<EvaluationView> => {
  const byTask: Record<string, Record<string, unknown>> = {};
  for (const part of BY_TASK) byTask[part] = { ...view[part] };
  const rest: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(slices)) {
    const [part = '', task] = key.split('/');
    const own = task === undefined ? undefined : byTask[part];
    if (!own || task === undefined) rest[key] = value;
    else if (value === null) delete own[task];
    else own[task] = value;
  }
  return { ...view, ...rest, ...byTask };
};
