import canonicalize from 'canonicalize';

/** Deepest nesting that is read or written: a deeper value could exhaust the stack of a recursive reader. */
export const MAX_DEPTH = 32;

/** Depth of a JSON text by its brackets outside strings, without recursion. */
export const textDepth = (text: string): number => {
  let depth = 0;
  let deepest = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (quoted) {
      if (c === 92) i++;
      else if (c === 34) quoted = false;
    } else if (c === 34) quoted = true;
    else if (c === 91 || c === 123) deepest = Math.max(deepest, ++depth);
    else if (c === 93 || c === 125) depth--;
  }
  return deepest;
};

const assertPlain = (value: unknown, depth: number): void => {
  if (depth > MAX_DEPTH) throw new TypeError(`nested deeper than ${String(MAX_DEPTH)}`);
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return;
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new TypeError('a number must be finite');
    return;
  }
  if (typeof value !== 'object') throw new TypeError(`${typeof value} is not JSON`);
  const prototype: unknown = Object.getPrototypeOf(value);
  if (!Array.isArray(value) && prototype !== Object.prototype && prototype !== null) {
    throw new TypeError('only plain objects are JSON');
  }
  for (const inner of Object.values(value)) assertPlain(inner, depth + 1);
};

/**
 * RFC 8785 text of a JSON value. Throws a TypeError on anything that has no such text: undefined, NaN, lone
 * surrogates, objects with a class, nesting beyond `MAX_DEPTH`.
 */
export const canonicalText = (value: unknown): string => {
  assertPlain(value, 0);
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError('not a JSON value');
  return text;
};

/**
 * Reads a JSON text that must be in canonical form already. One comparison refuses duplicate keys, white space,
 * other key orders, 1.0, -0 and lone surrogates. Throws a SyntaxError or TypeError.
 */
export const parseCanonical = (text: string): unknown => {
  if (textDepth(text) > MAX_DEPTH) throw new TypeError(`nested deeper than ${String(MAX_DEPTH)}`);
  const value: unknown = JSON.parse(text);
  if (canonicalText(value) !== text) throw new SyntaxError('not in canonical form (RFC 8785)');
  return value;
};
