import type { Page } from 'playwright-core';
import { isTemplate, patternOf, type WordPair } from './two-catalogues.ts';

/** Something that a page says: its text, the nearest language around it, and what stands beside it in that language of the page. */
export interface Said {
  text: string;
  language: string;
  /** What the same paragraph or line says in the language of the page. */
  beside: string;
}

/** Runs in the page. */
const listen = (): Said[] => {
  const own = document.documentElement.lang;
  const found: Said[] = [];
  const of = (e: Element): string => e.closest('[lang]')?.getAttribute('lang') ?? '';
  const texts = (e: Element): Node[] =>
    [...e.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE);
  const beside = (e: Element): string => {
    const line = e.closest(
      'p, li, td, th, dd, dt, label, option, [role="alert"], [role="status"], dialog',
    );
    return [line ?? e, ...(line ?? e).querySelectorAll('*')]
      .filter((part) => of(part) === own)
      .flatMap((part) => texts(part).map((n) => n.textContent))
      .join(' ');
  };
  const hear = (e: Element, text: string | null): void => {
    const words = (text ?? '').replaceAll(/\s+/gu, ' ').trim();
    const language = of(e);
    if (/\p{L}{2}/u.test(words))
      found.push({ text: words, language, beside: language === own ? '' : beside(e) });
  };
  for (const e of document.querySelectorAll('title, body, body *')) {
    const seen = /OPTION|TITLE/u.test(e.tagName) || e.checkVisibility({ visibilityProperty: true });
    if (!seen || e.closest('script, style, noscript')) continue;
    for (const name of ['aria-label', 'title', 'alt', 'placeholder', 'aria-description'])
      hear(e, e.getAttribute(name));
    for (const { textContent } of texts(e)) hear(e, textContent);
    if (texts(e).length > 1)
      hear(
        e,
        texts(e)
          .map((n) => n.textContent)
          .join(''),
      );
  }
  return found;
};

/** Everything that a page says to eyes and ears: visible text, names, titles, alternative texts, placeholders, options. */
export const saidOn = async (page: Page): Promise<Said[]> => {
  // tsx wraps named functions in a helper that a page does not have.
  await page.evaluate('globalThis.__name ??= (own) => own');
  return page.evaluate(listen);
};

/** Words that only English sentences are made of. */
const ONLY_ENGLISH =
  /\b(?:the|of|and|is|are|were|has|have|not|with|this|that|from|for|to|you|your|be|been|by|it|its|their|which|cannot)\b/gu;

const foreign = (text: string): boolean => new Set(text.match(ONLY_ENGLISH)).size >= 2;

/** A text without what others wrote in it. */
const without = (text: string, given: readonly string[]): string =>
  given.reduce(
    (rest, own) => (own.length > 2 ? rest.replaceAll(own.toLowerCase(), ' ') : rest),
    text.toLowerCase(),
  );

/** What tells English that is left on the pages of another language. */
export class LeftEnglish {
  readonly #words: Map<string, string>;
  readonly #templates: readonly { english: string; pattern: RegExp }[];
  readonly #theirs: Set<string>;
  readonly #theirTemplates: readonly RegExp[];

  constructor(pairs: readonly WordPair[]) {
    const different = pairs.filter((p) => p.english !== p.theirs);
    const pattern = (word: string): RegExp => new RegExp(`^${patternOf(word)}$`, 'u');
    const fixed = (word: string): string => word.replaceAll(/§\d§|NaN/gu, '');
    const telling = (word: string): boolean => /\p{L}{3}/u.test(fixed(word));
    this.#words = new Map(
      different.filter((p) => !isTemplate(p.english)).map((p) => [p.english.trim(), p.theirs]),
    );
    this.#templates = different
      .filter((p) => isTemplate(p.english) && telling(p.english))
      .map(({ english }) => ({ english, pattern: pattern(english) }));
    this.#theirs = new Set(pairs.map((p) => p.theirs.trim()));
    this.#theirTemplates = pairs
      .filter((p) => isTemplate(p.theirs) && telling(p.theirs))
      .map((p) => pattern(p.theirs));
  }

  /**
   * Every text that is English where the page should speak `language`: a word of the catalogue, a sentence of the server with
   * nothing of the language beside it, or a sentence of English words. `given` was written by people, in their language.
   */
  in(
    said: readonly Said[],
    language: string,
    sent: ReadonlySet<string> = new Set(),
    given: ReadonlySet<string> = new Set(),
  ): string[] {
    const longest = [...given].toSorted((a, b) => b.length - a.length);
    const told = said.flatMap(({ text, language: of, beside }) => {
      const theServers = sent.has(text);
      if (of !== language)
        return theServers && !/\p{L}{2}/u.test(beside)
          ? [`only the server’s sentence: ${text}`]
          : [];
      if (theServers) return [`the server’s sentence, not marked as English: ${text}`];
      if (given.has(text)) return [];
      const word = this.#english(text);
      if (word !== null) return [`English: ${text} (in the catalogue: ${word})`];
      return foreign(text) && foreign(without(text, longest))
        ? [`an English sentence: ${text}`]
        : [];
    });
    return [...new Set(told)];
  }

  #english(text: string): string | null {
    if (this.#theirs.has(text)) return null;
    const same = this.#words.get(text);
    if (same !== undefined || this.#theirTemplates.some((p) => p.test(text))) return same ?? null;
    return this.#templates.find(({ pattern }) => pattern.test(text))?.english ?? null;
  }
}
