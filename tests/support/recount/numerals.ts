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

/** A way to put other text or another number at one place of a record, and back. */
interface Slot {
  place: string;
  value: string | number;
  put: (value: string | number) => void;
}

const slots = (at: unknown, place: string, out: Slot[]): void => {
  if (typeof at !== 'object' || at === null) return;
  const holder = at as Record<string, unknown>;
  for (const [key, value] of Object.entries(holder)) {
    if (LAYOUT.has(key)) continue;
    const here = `${place}.${key}`;
    if (typeof value === 'string' || typeof value === 'number') {
      out.push({ place: here, value, put: (other) => (holder[key] = other) });
    } else slots(value, here, out);
  }
};

/** Words that steer and are not read; what the checklist answers is held by the test of RE-4. */
const NOT_TOLD = /\.(?:status|place|kind|tone)$|^\.sections\.\d+\.id$/u;

/**
 * Plants another number in the place of every one of a record in turn, and a number in every text that has none, and tells
 * how many there were and where one was not noticed.
 */
export const plantEverywhere = (
  whole: RecordDocument,
  counted: ReadonlyMap<string, readonly string[]>,
): { planted: number; missed: string[] } => {
  // One copy of each part: blocks share their scale.
  const record = JSON.parse(JSON.stringify(whole)) as RecordDocument;
  const found: Slot[] = [];
  slots(record, '', found);
  const missed: string[] = [];
  let n = 0;
  const attempt = (slot: Slot, other: string | number): void => {
    n++;
    slot.put(other);
    if (unexplained(numeralsOf(record), counted).length !== 1) missed.push(slot.place);
    slot.put(slot.value);
  };
  for (const slot of found) {
    if (NOT_TOLD.test(slot.place)) continue;
    if (typeof slot.value === 'number') {
      attempt(slot, Number(planted(String(slot.value))));
      continue;
    }
    const text = slot.value;
    const numbers = [...text.matchAll(NUMERAL)];
    if (numbers.length === 0) attempt(slot, `${text} 7`);
    for (const { 0: said, index } of numbers) {
      attempt(slot, text.slice(0, index) + planted(said) + text.slice(index + said.length));
    }
  }
  return { planted: n, missed };
};
