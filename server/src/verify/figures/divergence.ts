const middle = (values: readonly number[]): number => {
  const s = values.toSorted((a, b) => a - b);
  const n = s.length;
  return n % 2 === 1 ? (s[(n - 1) / 2] ?? 0) : ((s[n / 2 - 1] ?? 0) + (s[n / 2] ?? 0)) / 2;
};

export { middle };

/** Whether a task's counted ratings diverge under the rule named in the log. */
export const ratingsDiverge = (
  values: readonly number[],
  rule: { id: string; lone: string; split: string | null },
): boolean => {
  if (values.length < 2) return false;
  const lone = Number(rule.lone) - 1e-12;
  if (rule.id === 'strict') return Math.max(...values) - Math.min(...values) >= lone;
  const centre = middle(values);
  const apart = values.map((v, i) =>
    rule.id === 'lenient'
      ? Math.abs(v - centre)
      : Math.abs(v - middle(values.filter((_, j) => j !== i))),
  );
  if (apart.some((d) => d >= lone)) return true;
  if (rule.split === null) return false;
  const deviation = values.reduce((s, v) => s + Math.abs(v - centre), 0) / values.length;
  return deviation > Number(rule.split) + 1e-12;
};
