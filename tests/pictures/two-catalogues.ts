import { readdirSync } from 'node:fs';
import { join } from 'node:path';

/** The same word in English and in another language; `§1§` stands where a sentence takes a parameter. */
export interface WordPair {
  english: string;
  theirs: string;
}

const folder = join(import.meta.dirname, '../../web/src/words');
const MARKS = ['§1§', '§2§', '§3§', '§4§'];
const COUNTS = [0, 1, 2, 3, 10];
/** What stands for a parameter: a mark, or what a count makes of one. */
const HOLE = /§\d§|NaN/u;

type Words = Record<string, unknown>;
const load = (language: string, file: string): Promise<Words> =>
  import(join(folder, language, file)) as Promise<Words>;

/** Parameters to try a sentence with: marks, and counts for its singular and plural. */
const TRIES: readonly (readonly unknown[])[] = [
  MARKS,
  ...COUNTS.flatMap((a) => COUNTS.map((b) => [a, b, a, b])),
  ...COUNTS.flatMap((n) => [
    [n, ...MARKS.slice(1)],
    [MARKS[0], n, MARKS[2], n],
  ]),
];

const said = (word: unknown, parameters: readonly unknown[]): string | null => {
  try {
    const text: unknown = (word as (...p: unknown[]) => unknown)(...parameters);
    return typeof text === 'string' && !text.includes('undefined') ? text : null;
  } catch {
    return null;
  }
};

const pairsOf = (english: unknown, theirs: unknown): WordPair[] => {
  if (typeof english === 'string' && typeof theirs === 'string') return [{ english, theirs }];
  if (typeof english === 'function' && typeof theirs === 'function')
    return TRIES.flatMap((parameters) => {
      const [one, other] = [said(english, parameters), said(theirs, parameters)];
      return one === null || other === null ? [] : [{ english: one, theirs: other }];
    });
  if (typeof english !== 'object' || english === null) return [];
  const others = Object(theirs) as Words;
  return Object.entries(english).flatMap(([key, word]) => pairsOf(word, others[key]));
};

/** Every word of the catalogue in both languages, sentences with parameters tried with marks and with counts. */
export const wordPairs = async (language: string): Promise<WordPair[]> => {
  const pairs = new Map<string, WordPair>();
  for (const file of readdirSync(join(folder, 'en')))
    for (const pair of pairsOf(await load('en', file), await load(language, file)))
      if (/\p{L}{2}/u.test(pair.english.replaceAll(new RegExp(HOLE, 'gu'), '')))
        pairs.set(`${pair.english}\n${pair.theirs}`, pair);
  return [...pairs.values()];
};

const escaped = (text: string): string => text.replaceAll(/[\\^$.*+?()[\]{}|/]/gu, String.raw`\$&`);

/** A pattern of a word's fixed parts, its parameters left open: a count takes figures alone. */
export const patternOf = (word: string): string =>
  word
    .trim()
    .split(new RegExp(`(${HOLE.source})`, 'u'))
    .map((part) => {
      if (part === 'NaN') return String.raw`([\d.,]+)`;
      return HOLE.test(part) ? '(.+?)' : escaped(part).replaceAll(/\s+/gu, String.raw`\s+`);
    })
    .join('');

/** Whether a word takes parameters. */
export const isTemplate = (word: string): boolean => HOLE.test(word);

/** The figures of English as German writes them. */
const figure = (text: string): string =>
  /^\d{1,3}(?:,\d{3})*(?:\.\d+)?$/u.test(text)
    ? text.replaceAll(/[.,]/gu, (sign) => (sign === ',' ? '.' : ','))
    : text;

/**
 * A template in the other language with what stands in the English text, each part as `say` says it; null where the text is
 * another sentence.
 */
export const filledIn = (
  { english, theirs }: WordPair,
  text: string,
  say: (part: string) => string = (part) => part,
): string | null => {
  const found = new RegExp(`^${patternOf(english)}$`, 'u').exec(text.trim());
  if (!found) return null;
  const holes = english.match(new RegExp(HOLE, 'gu')) ?? [];
  const values = found.slice(1).map((part) => say(figure(part)));
  const used = new Set<number>();
  return theirs.replaceAll(new RegExp(HOLE, 'gu'), (hole) => {
    const at = holes.findIndex((h, i) => h === hole && !used.has(i));
    used.add(at);
    return values[at] ?? hole;
  });
};
