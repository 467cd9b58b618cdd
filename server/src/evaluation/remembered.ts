/**
 * A memory for a pure function: the last answer for each `key`, given again while every one of `parts`, all it
 * depends on beside the key, is the very same object or value. State is never written to (a fold copies what it
 * changes), so the same objects mean the same answer; an answer goes with its key.
 */
export class Memory<Key extends object, Answer> {
  readonly #known = new WeakMap<Key, { parts: readonly unknown[]; answer: Answer }>();

  /** Whether the answer is known. */
  has(key: Key, parts: readonly unknown[]): boolean {
    return this.#known.get(key)?.parts.every((part, i) => Object.is(part, parts[i])) ?? false;
  }

  /** Takes an answer that was made elsewhere. */
  keep(key: Key, parts: readonly unknown[], answer: Answer): Answer {
    this.#known.set(key, { parts, answer });
    return answer;
  }

  ask(key: Key, parts: readonly unknown[], make: () => Answer): Answer {
    const before = this.#known.get(key);
    if (before && this.has(key, parts)) return before.answer;
    return this.keep(key, parts, make());
  }
}

/** A memory that is only ever asked. */
export const remembered = <Key extends object, Answer>() => {
  const memory = new Memory<Key, Answer>();
  return (key: Key, parts: readonly unknown[], make: () => Answer): Answer =>
    memory.ask(key, parts, make);
};
