import type { Locator, Page } from 'playwright-core';
import { filledIn, isTemplate, patternOf, type WordPair } from './two-catalogues.ts';

type Name = string | RegExp;

const LITERAL = /^\^?([^\\[\](){}|*+?.^$]+)\$?$/u;

/** The words by which chapters find things, in the language that the pages are in. */
export class Interpreter {
  readonly #pairs: readonly WordPair[];

  constructor(pairs: readonly WordPair[]) {
    this.#pairs = pairs;
  }

  /** How an English word may stand on the pages: what is no word of the catalogue stays as it is. */
  wordsFor(text: string): string[] {
    const same = this.#pairs.filter((p) => p.english === text).map((p) => p.theirs);
    if (same.length > 0) return [...new Set([...same, text])];
    const filled = this.#pairs
      .filter((p) => isTemplate(p.english))
      .flatMap((p) => [filledIn(p, text), ...this.#filledWithWords(p, text)])
      .filter((way) => way !== null);
    return [...new Set([...filled, ...this.#composed(text), text])];
  }

  /** A sentence that names words of the catalogue: these said in the pages' language too, in each way they have. */
  #filledWithWords(pair: WordPair, text: string): (string | null)[] {
    const said = (part: string): string[] => [
      ...new Set(this.#pairs.filter((p) => p.english === part).map((p) => p.theirs)),
    ];
    let most = 0;
    filledIn(pair, text, (part) => {
      most = Math.max(most, said(part).length);
      return part;
    });
    return Array.from({ length: most }, (_, nth) =>
      filledIn(pair, text, (part) => said(part)[nth] ?? said(part)[0] ?? part),
    );
  }

  /** A name that a screen puts together: its longest word of the catalogue said in the pages' language. */
  #composed(text: string): string[] {
    const inside = this.#pairs
      .map((p) => p.english)
      .filter((word) => word.length > 3 && text.includes(word))
      .toSorted((a, b) => b.length - a.length)[0];
    if (inside === undefined) return [];
    return this.#pairs
      .filter((p) => p.english === inside)
      .map((p) => text.replace(inside, p.theirs));
  }

  /** A name as a pattern in the pages' language; whole where it has to be all of the name. */
  name(name: Name, whole: boolean): Name {
    if (typeof name !== 'string') return this.#pattern(name);
    const part = name.toLowerCase();
    const inside = whole
      ? []
      : this.#pairs.filter((p) => p.english.toLowerCase().includes(part)).map((p) => p.theirs);
    const all = [...new Set([...this.wordsFor(name), ...inside])].map(patternOf);
    if (all.length === 1) return name;
    return whole
      ? new RegExp(String.raw`^\s*(?:${all.join('|')})\s*$`, 'u')
      : new RegExp(all.join('|'), 'iu');
  }

  #pattern(name: RegExp): RegExp {
    const literal = LITERAL.exec(name.source)?.[1];
    const filled = literal === undefined ? [] : this.wordsFor(literal);
    const found = this.#pairs.filter((p) => name.test(p.english)).map((p) => p.theirs);
    const parts = [...new Set([...found, ...filled])].map(patternOf).join('|');
    const [from, to] = [name.source.startsWith('^'), name.source.endsWith('$')];
    return parts === ''
      ? name
      : new RegExp(`${name.source}|${from ? '^' : ''}(?:${parts})${to ? '$' : ''}`, 'u');
  }
}

/** Hands that look for things by their English names on pages in another language. */
export interface Hands {
  interpreter: Interpreter;
  /** Everything that was typed: it is in the language of whoever typed it. */
  typed: Set<string>;
}

type Method = (...parameters: unknown[]) => unknown;

const optioned = (value: unknown): { exact?: boolean; name?: Name; hasText?: Name } =>
  Object(value) as { exact?: boolean; name?: Name; hasText?: Name };

/** Chooses an option by its English label, once it stands there. */
const choose = async (target: Locator, hands: Hands, value: unknown): Promise<unknown> => {
  const { label } = Object(value) as { label?: string };
  if (label === undefined) return target.selectOption(value as string);
  const ways = hands.interpreter.wordsFor(label);
  for (let tries = 0; tries < 100; tries++) {
    const shown = await target.evaluate((list) =>
      [...(list as HTMLSelectElement).options].map((o) => o.label.trim()),
    );
    const way = ways.find((w) => shown.includes(w));
    if (way !== undefined) return target.selectOption({ label: way });
    await target.page().waitForTimeout(50);
  }
  return target.selectOption({ label });
};

/** What a method of a page or a locator is given, in the pages' language. */
const translated = (method: string, parameters: unknown[], by: Interpreter): unknown[] => {
  const [first, second] = parameters;
  const { exact = false, name, hasText } = optioned(method === 'filter' ? first : second);
  if (method === 'getByRole' && name !== undefined)
    return [first, { ...optioned(second), name: by.name(name, exact) }];
  if (/^getBy(?:Label|Text|Placeholder|Title|AltText)$/u.test(method))
    return [by.name(first as Name, exact), second];
  if (method === 'filter' && hasText !== undefined)
    return [{ ...optioned(first), hasText: by.name(hasText, false) }];
  return parameters;
};

const LEADS_ON = /^(?:getBy\w+|locator|filter|first|last|nth|and|or|all)$/u;

/** A page or locator whose ways of finding things take English names; all else is the thing's own. */
export const handed = <T extends Page | Locator>(thing: T, hands: Hands): T =>
  new Proxy(thing, {
    get: (target, key) => {
      const own: unknown = Reflect.get(target, key, target);
      if (typeof own !== 'function' || typeof key !== 'string') return own;
      const method = own.bind(target) as Method;
      if (key === 'fill')
        return (...given: unknown[]) => {
          for (const text of given) if (typeof text === 'string') hands.typed.add(text.trim());
          return method(...given);
        };
      if (key === 'selectOption')
        return (value: unknown) => choose(target as Locator, hands, value);
      if (!LEADS_ON.test(key)) return method;
      return (...given: unknown[]) => {
        const found = method(...translated(key, given, hands.interpreter));
        return found instanceof Promise
          ? found.then((list: Locator[]) => list.map((l) => handed(l, hands)))
          : handed(found as Locator, hands);
      };
    },
  });
