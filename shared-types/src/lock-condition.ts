/** One condition before locking; `count` 0 means met. */
export interface LockCondition {
  id:
    | 'round-opened'
    | 'declarations'
    | 'gates'
    | 'late'
    | 'divergent'
    | 'unsettled'
    | 'reviewers'
    /** Counted reviewers who have not said whether they are content; there only where that carries weight. */
    | 'endorsements';
  count: number;
  /** The first task concerned, to jump to. */
  first: string | null;
  /** A caveat is shown and does not hold the lock back. */
  caveat: boolean;
}
