/**
 * WD-5: why a figure is not defined: a stable code for each sentence that records, exports and the command line give in
 * English. The sentences stand in locked records, so none is ever changed; screens say the same by its code in their own
 * language. `{}` stands for what the sentence names.
 */
export const REASONS = {
  'all-alike': 'no variation: every rating is the same',
  'angle-past-80': 'the middle angle passes 80 degrees at {} s: choose another order of axes',
  'between-points': 'a rating lies between the points of the scale',
  'chance-agrees': 'no variation: chance alone would agree fully',
  'class-current-only': 'It is {}: its class holds current records only.',
  'class-not-pooled': 'Its class is not pooled.',
  'class-too-small': 'Only {} others in its class; a standing is shown among ten or more.',
  'condition-empty': 'one of the conditions is empty',
  'condition-without-data': 'no data in one of the conditions',
  'end-of-scale': 'the mean lies too near an end of the scale',
  'even-design': 'the test needs the same number of ratings for every task, and no weights',
  'few-ratings': 'fewer than {} ratings',
  'few-ratings-two': 'fewer than two ratings',
  'few-ratings-three': 'fewer than three ratings',
  'few-ratings-split': 'too few ratings, or no residual',
  'few-reviewers': 'fewer than {} reviewers',
  'few-reviewers-two': 'fewer than two reviewers',
  'few-reviewers-interval': 'too few reviewers for an interval',
  'few-tasks-rated-twice': 'fewer than {} tasks with two ratings',
  'habit-unknown': 'the habit of {} cannot be estimated',
  'half-never-there': 'half of the cases or more never get access',
  'half-not-done': 'half of the trials or more were not done',
  'needs-variance': 'no variance components',
  'never-rated-twice': 'never rated twice',
  'no-breath-in': 'no breath is on record as gone in, or the start is not given',
  'no-composite': 'It has no composite.',
  'no-compression': 'no compression',
  'no-counted-rating': 'no counted rating',
  'no-counted-rating-on-scale': 'no counted rating on the scale',
  'no-data': 'no data',
  'no-depth': 'no depth',
  'no-limit-for-measure': 'no rule here states a limit for this measure',
  'no-rated-task': 'no rated task',
  'no-rated-weight': 'no rated task carries weight',
  'no-statement': 'no counted reviewer has said',
  'no-rating': 'no rating',
  'no-reference-trial': 'no trial without the equipment to compare with',
  'no-reference-time': 'the trials without the equipment have no time to compare with',
  'no-replicate-varied': 'no replicate varied',
  'no-replicates': 'no replicates',
  'no-replicates-drawn': 'no replicates were drawn',
  'no-residual': 'no residual variation',
  'no-residual-limit': 'no residual variation: F has no limit',
  'no-residual-to-test': 'no residual variation to test against',
  'no-reviewer': 'no reviewer rated',
  'no-run': 'no two compressions in one run',
  'no-sample': 'no sample',
  'no-success': 'no technique ever succeeds',
  'no-task-by-both': 'no task was rated by both',
  'no-task-rated-thrice': 'no task with three ratings that differ',
  'no-task-rated-twice': 'no task with two ratings',
  'no-task-told-apart': 'no reviewer told the tasks apart',
  'no-timed-trial': 'no timed trial',
  'no-trial': 'no trial',
  'no-trial-done': 'no trial was done',
  'no-trial-of': 'no trial of {}',
  'one-point-only': 'a rater used one point only: every table would give the same kappa',
  'one-reviewer': 'a single reviewer has no interval',
  'one-task-agreement': 'one task alone says nothing about agreement over tasks',
  'one-task-error': 'one task alone has no standard error',
  'only-two-reviewers': 'only for two reviewers',
  'operator-ratio': 'an operator ratio needs two operators and values above zero',
  'operators-both': 'no operator stands in both conditions',
  'operators-finished': 'fewer than two operators finished both',
  'pairs-too-even': 'the samples lie too evenly to compare all pairs',
  'pieces-alike': 'the pieces do not differ, so nothing tells them apart',
  'plan-empty': 'a plan needs a task, an operator and a trial',
  'ratings-too-few': 'its ratings are too few, or leave no variance to split',
  'reference-zero': 'the reference mean is zero',
  'reviewers-alike': 'the reviewers do not differ',
  'scale-unused': 'not every point of the scale was used, or too few tasks or reviewers',
  'span-missing': 'the start and the end of the trial are not given',
  'table-large': 'the table is large enough for chi-square',
  'tasks-alike-limits': 'the tasks do not differ: the limits have no end',
  'tasks-alike': 'the tasks do not differ',
  'tasks-alike-form': 'the tasks differ too little for this form',
  'tasks-by-all': 'fewer than two tasks rated by every reviewer',
  'times-above-zero': 'the times of {} must be above zero',
  'trials-alike': 'the trials are too alike or too few to tell how far this may be off',
  'two-reviewers-interval': 'two reviewers are too few for an interval',
  'values-alike': 'the values do not vary',
  'values-few': 'fewer than two values in one of the groups',
  'without-one': 'without one reviewer no rated task is left',
  'not-comparable-few': 'Not comparable: fewer than two tasks were settled in both.',
  'not-comparable-still': 'No interval: the difference is the same on every common task.',
  'not-comparable-version':
    'Not comparable: the two were judged under different protocol versions, which may ask for different tasks, anchors or weights.',
  'not-comparable-withdrawn': 'Not comparable: a record of the two was withdrawn.',
} as const;

export type ReasonCode = keyof typeof REASONS;

/** The longest first, so that a sentence is never taken for a shorter one that its ends are like. */
const CODES = (Object.keys(REASONS) as ReasonCode[]).toSorted(
  (a, b) => REASONS[b].length - REASONS[a].length,
);

/** The code of a sentence, and what it names; undefined for one that is not known here. */
export const readReason = (why: string): { code: ReasonCode; named: string } | undefined => {
  const exact = CODES.find((code) => REASONS[code] === why);
  if (exact) return { code: exact, named: '' };
  for (const code of CODES) {
    const [before = '', after] = REASONS[code].split('{}');
    if (after === undefined || !why.startsWith(before) || !why.endsWith(after)) continue;
    const named = why.slice(before.length, why.length - after.length);
    if (named !== '') return { code, named };
  }
  return undefined;
};
