/** WD-7: a sentence of the server and how another language says it; `{}` is what it names, in the same order. */
export type Retold = readonly [english: string, theirs: string];

const plain = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/gu, String.raw`\$&`);

/** Says sentences in another language, the first that fits; `named` says what they name. What is not known stays. */
export const retold = (
  list: readonly Retold[],
  named: (part: string) => string = (part) => part,
): ((sentence: string) => string) => {
  const known = list.map(
    ([english, theirs]) =>
      [new RegExp(`^${english.split('{}').map(plain).join('(.+?)')}$`, 'su'), theirs] as const,
  );
  return (sentence) => {
    for (const [pattern, theirs] of known) {
      const found = pattern.exec(sentence);
      if (!found) continue;
      let at = 0;
      return theirs.replaceAll('{}', () => named(found[++at] ?? ''));
    }
    return sentence;
  };
};
