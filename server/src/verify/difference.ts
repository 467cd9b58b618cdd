/** Path of the first place where two JSON values differ; undefined when they are the same. */
export const firstDifference = (a: unknown, b: unknown, path = ''): string | undefined => {
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) {
    return a === b ? undefined : path || 'the whole';
  }
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  for (const key of keys) {
    const left = (a as Record<string, unknown>)[key];
    const right = (b as Record<string, unknown>)[key];
    const found = firstDifference(left, right, path === '' ? key : `${path}.${key}`);
    if (found !== undefined) return found;
  }
  return undefined;
};
