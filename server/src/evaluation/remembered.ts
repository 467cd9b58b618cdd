/**
 * A memory for a pure function: the last answer for each `key`, given again while every one of `parts`, all it
 * depends on beside the key, is the very same object or value. State is never written to (a fold copies what it
 * changes), so the same objects mean the same answer; an answer goes with its key.
 */
export const remembered = <Key extends object, Answer>() => {
  const known = new WeakMap<Key, { parts: readonly unknown[]; answer: Answer }>();
  return (key: Key, parts: readonly unknown[], make: () => Answer): Answer => {
    const before = known.get(key);
    if (before?.parts.every((part, i) => Object.is(part, parts[i]))) return before.answer;
    const answer = make();
    known.set(key, { parts, answer });
    return answer;
  };
};
