/**
 * Sum with the lost low-order part carried along, so that order and cancellation cost at most the last digit.
 * Empty sums to 0. Source: Neumaier 1974.
 */
export const compensatedSum = (values: readonly number[]): number => {
  let sum = 0;
  let lost = 0;
  for (const x of values) {
    const next = sum + x;
    lost += Math.abs(sum) >= Math.abs(x) ? sum - next + x : x - next + sum;
    sum = next;
  }
  return sum + lost;
};
