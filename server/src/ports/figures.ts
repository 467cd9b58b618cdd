/** Computes what takes too long for the thread that serves everybody. */
export interface Figures<Question, Answer> {
  /** Rejects when the computation failed; a later question may succeed. */
  ask(question: Question): Promise<Answer>;
  close(): Promise<void>;
}
