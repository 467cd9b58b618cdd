/** Time as the rooms need it: what it is, and to be called later. Tests move it by hand. */
export interface Timers {
  /** Milliseconds since the epoch. */
  now(): number;
  /** Milliseconds that only count up, whatever the clock is set to. */
  counted(): number;
  /** Calls back once after `ms`; returns how to call it off. */
  after(ms: number, call: () => void): () => void;
}
