/** A value, or the plain reason why there is none. */
export type Shown = { value: number } | { why: string };
