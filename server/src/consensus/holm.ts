/**
 * P values after Holm's step-down correction, in the order given: the chance of even one false claim among all of
 * them stays under the level. Source: Holm 1979.
 */
export const holm = (p: readonly number[]): number[] => {
  const order = p.map((value, i) => ({ value, i })).toSorted((a, b) => a.value - b.value);
  const adjusted = new Array<number>(p.length).fill(1);
  let largest = 0;
  order.forEach(({ value, i }, rank) => {
    largest = Math.max(largest, Math.min(1, (p.length - rank) * value));
    adjusted[i] = largest;
  });
  return adjusted;
};
