/** WD-1: the same words in another language: every key of the English ones, no other, with the same parameters. */
export type SameWords<T> = T extends string
  ? string
  : T extends (...parameters: infer P) => infer R
    ? (...parameters: P) => SameWords<R>
    : { [K in keyof T]: SameWords<T[K]> };
