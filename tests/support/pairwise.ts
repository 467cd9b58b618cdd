/** Factors of a test by name, each with its values. */
export type Factors = Record<string, readonly string[]>;
export type Row = Record<string, string>;

const pairKey = (a: string, x: string, b: string, y: string): string => [a, x, b, y].join('\u0000');

/**
 * Rows in which every value of every factor meets every value of every other one at least once: each row starts from a
 * pair that is still missing, and takes for each further factor the value that meets most that is missing.
 */
export const pairwise = (factors: Factors): Row[] => {
  const names = Object.keys(factors);
  const missing = new Map<string, Row>();
  names.forEach((a, i) => {
    for (const b of names.slice(i + 1))
      for (const x of factors[a] ?? [])
        for (const y of factors[b] ?? []) missing.set(pairKey(a, x, b, y), { [a]: x, [b]: y });
  });
  const keyOf = (row: Row, a: string, b: string): string => {
    const [first = '', second = ''] = names.indexOf(a) < names.indexOf(b) ? [a, b] : [b, a];
    return pairKey(first, row[first] ?? '', second, row[second] ?? '');
  };
  const rows: Row[] = [];
  for (const [, start] of missing) {
    const row: Row = { ...start };
    if (!missing.has(keyOf(row, ...(Object.keys(start) as [string, string])))) continue;
    for (const name of names.filter((n) => !(n in start))) {
      const gain = (value: string): number =>
        Object.keys(row).filter((other) =>
          missing.has(keyOf({ ...row, [name]: value }, name, other)),
        ).length;
      // Of equal gain the value that was used least, so that rare ones meet each other too.
      const used = (value: string): number => rows.filter((r) => r[name] === value).length;
      row[name] =
        (factors[name] ?? []).toSorted((x, y) => gain(y) - gain(x) || used(x) - used(y))[0] ?? '';
    }
    names.forEach((a, i) => names.slice(i + 1).forEach((b) => missing.delete(keyOf(row, a, b))));
    rows.push(row);
  }
  return rows;
};

/** Every combination there is. */
export const everyCombination = (factors: Factors): Row[] =>
  Object.entries(factors).reduce<Row[]>(
    (rows, [name, values]) => rows.flatMap((row) => values.map((v) => ({ ...row, [name]: v }))),
    [{}],
  );
