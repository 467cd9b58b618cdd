/** What the stopwatch of a trial marks: the start, each split, and the end as done or not done. */
export type StopwatchMark = 'go' | 'split' | 'done' | 'not-done';
