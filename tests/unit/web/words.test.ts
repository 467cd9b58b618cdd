import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { REJECTION_CODES } from '@unhindered/shared-types';
import { describe, expect, test } from 'vitest';
import { LANGUAGES } from '../../../web/src/words/languages.ts';

const folder = join(import.meta.dirname, '../../../web/src/words');
const files = (language: string): string[] => readdirSync(join(folder, language)).toSorted();
const load = (language: string, file: string): Promise<Record<string, unknown>> =>
  import(join(folder, language, file)) as Promise<Record<string, unknown>>;

/** Every word with its path; a function stands as itself. */
const leaves = (at: unknown, path = ''): [string, unknown][] =>
  typeof at === 'object' && at !== null
    ? Object.entries(at).flatMap(([key, value]) => leaves(value, `${path}.${key}`))
    : [[path, at]];

/** Parameters that stand for a count or a text of their own; the sentence has to hold all that it names. */
const MARKS = ['§1§', '§2§', '§3§', '§4§'];

test('every language has a folder of words, and every folder a name', () => {
  const folders = readdirSync(folder, { withFileTypes: true }).filter((f) => f.isDirectory());
  expect(folders.map((f) => f.name).toSorted()).toEqual(Object.keys(LANGUAGES).toSorted());
});

describe.each(Object.keys(LANGUAGES).filter((l) => l !== 'en'))('WD-1: words in %s', (language) => {
  test('are in the same files', () => {
    expect(files(language)).toEqual(files('en'));
  });

  test.each(files('en'))(
    '%s has the same keys, and no word is left empty or in English',
    async (file) => {
      const english = leaves(await load('en', file));
      const theirs = new Map(leaves(await load(language, file)));
      // What is said by code may be said of more codes.
      if (file !== 'refusals.ts')
        expect([...theirs.keys()].toSorted()).toEqual(english.map(([path]) => path).toSorted());
      for (const [path, word] of english) {
        const other = theirs.get(path);
        expect(typeof other, path).toBe(typeof word);
        if (typeof word !== 'string' || typeof other !== 'string') continue;
        expect(other === '', path).toBe(word === '');
        // Sentences are never the same in two languages; a name or a single word may be.
        if (word.split(' ').length > 3) expect(other, path).not.toBe(word);
      }
    },
  );

  test.each(files('en'))('%s says everything that the English sentence says', async (file) => {
    const theirs = new Map(leaves(await load(language, file)));
    for (const [path, word] of leaves(await load('en', file))) {
      const other = theirs.get(path);
      if (typeof word !== 'function' || typeof other !== 'function') continue;
      if (path.startsWith('.plural')) continue;
      const said = (f: unknown): string =>
        String((f as (...m: string[]) => unknown)(...[...MARKS]));
      for (const mark of MARKS) {
        const named = said(word).includes(mark);
        expect(said(other).includes(mark), `${path} names parameter ${mark}`).toBe(named);
      }
    }
  });

  test('refusals have a word for every code', async () => {
    const { refusals } = (await load(language, 'refusals.ts')) as {
      refusals: { of: Record<string, string> };
    };
    expect(Object.keys(refusals.of).toSorted()).toEqual([...REJECTION_CODES].toSorted());
  });
});

test.each([
  ['en', 1, '1 task'],
  ['en', 0, '0 tasks'],
  ['en', 1200, '1,200 tasks'],
  ['de', 1, '1 Aufgabe'],
  ['de', 0, '0 Aufgaben'],
  ['de', 1200, '1.200 Aufgaben'],
])('counts follow the plural rules and the figures of %s: %i', async (language, n, text) => {
  const { plural } = (await load(language, 'plural.ts')) as {
    plural: (n: number, one: string, many: string) => string;
  };
  const [one = '', many = ''] = language === 'en' ? ['task', 'tasks'] : ['Aufgabe', 'Aufgaben'];
  expect(plural(n, one, many)).toBe(text);
});
