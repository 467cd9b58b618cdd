/** The keys of a JSON pointer, unescaped: RFC 6901. */
export const keysOf = (path: string): string[] =>
  path
    .split('/')
    .slice(1)
    .map((key) => key.replaceAll('~1', '/').replaceAll('~0', '~'));

/** What stands at a JSON pointer of a value; undefined when nothing does. */
export const valueAt = (value: unknown, path: string): unknown =>
  keysOf(path).reduce<unknown>(
    (at, key) =>
      typeof at === 'object' && at !== null ? (at as Record<string, unknown>)[key] : undefined,
    value,
  );

/** Puts something at a JSON pointer; the way there must exist. Returns whether it did. */
export const putAt = (value: unknown, path: string, what: unknown): boolean => {
  const last = keysOf(path).at(-1) ?? '';
  const way = path.slice(0, path.lastIndexOf('/'));
  const owner = way === '' ? value : valueAt(value, way);
  if (typeof owner !== 'object' || owner === null) return false;
  if (what === undefined) Reflect.deleteProperty(owner, last);
  else (owner as Record<string, unknown>)[last] = what;
  return true;
};
