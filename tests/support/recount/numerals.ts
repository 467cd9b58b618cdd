import type { RecordDocument } from '../../../shared-types/src/index.ts';

/** A sign only where no letter or digit goes before it: the stroke in "SHA-256" is none. */
const NUMERAL = /(?<![\p{L}\d])[+\u2212-]?\d+(?:\.\d+)?|\d+(?:\.\d+)?/gu;

/** Layout and not content: shares of a table's width. */
const LAYOUT = new Set(['widths']);

const walk = (at: unknown, place: string, out: Map<string, string[]>): void => {
  if (typeof at === 'string') {
    const found = at.match(NUMERAL);
    if (found) out.set(place, found);
  } else if (typeof at === 'number') {
    out.set(place, [String(at)]);
  } else if (Array.isArray(at)) {
    at.forEach((x, i) => walk(x, `${place}[${String(i)}]`, out));
  } else if (typeof at === 'object' && at !== null) {
    for (const [key, x] of Object.entries(at)) {
      if (!LAYOUT.has(key)) walk(x, `${place}.${key}`, out);
    }
  }
};

/** Every place of a record that holds numbers, with them in their order: texts, plots, their words, tables, names. */
export const numeralsOf = (record: RecordDocument): Map<string, string[]> => {
  const out = new Map<string, string[]>();
  const { sections, ...rest } = record;
  walk(rest, 'record', out);
  for (const s of sections) {
    walk(s.number, `${s.id}.number`, out);
    walk(s.title, `${s.id}.title`, out);
    s.blocks.forEach((b, i) => walk(b, `${s.id}#${String(i)} ${b.kind}`, out));
  }
  return out;
};

/** A figure of many digits may differ in its last one; what is printed shorter, and every hash, is compared as text. */
const alike = (a: string, b: string): boolean => {
  if (a === b) return true;
  const figures = [a, b].every((x) => x.includes('.')) && Math.max(a.length, b.length) > 9;
  const [x, y] = [Number(a), Number(b)];
  return figures && Math.abs(x - y) <= 1e-9 * Math.max(1, Math.abs(y));
};

/** Places where the numbers of a record are not those that were worked out, in words. */
export const unexplained = (
  said: ReadonlyMap<string, readonly string[]>,
  counted: ReadonlyMap<string, readonly string[]>,
): string[] =>
  [...new Set([...said.keys(), ...counted.keys()])].flatMap((place) => {
    const [a, b] = [said.get(place) ?? [], counted.get(place) ?? []];
    const same = a.length === b.length && a.every((x, i) => alike(x, b[i] ?? ''));
    return same ? [] : [`${place}: the record says ${a.join(' ')}, the bundle ${b.join(' ')}`];
  });

/** Another number in the place of one: one more in its last digit, or in the fourth decimal of a long figure. */
export const planted = (numeral: string): string => {
  const [whole = '', fraction = ''] = numeral.split('.');
  const last = fraction.slice(0, 4) || whole;
  const other = last.replace(/\d$/u, (d) => String((Number(d) + 1) % 10));
  return fraction === '' ? other : `${whole}.${other}${fraction.slice(4)}`;
};
