/** Where a text stops being JSON: 1-based line and column, and what is wrong there. */
export interface JsonFault {
  line: number;
  column: number;
  what: string;
}

/** Carries the place out of the descent; never leaves this file. */
class Stop extends Error {
  readonly at: number;

  constructor(at: number, what: string) {
    super(what);
    this.at = at;
  }
}

const SPACE = /[ \t\n\r]*/uy;
const LITERAL = /true|false|null|-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/uy;
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/uy;

const matchAt = (pattern: RegExp, text: string, at: number): number => {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0].length ?? 0;
};

const shown = (text: string, at: number): string => {
  const sign = [...text.slice(at, at + 2)][0];
  if (sign === undefined) return 'the text ends';
  return sign === '"' ? 'a quotation mark stands' : `${JSON.stringify(sign)} stands`;
};

/** The end of the string that begins at a quotation mark. */
const afterString = (text: string, from: number): number => {
  let at = from + 1;
  while (text[at] !== '"') {
    if (at >= text.length) throw new Stop(from, 'this quotation mark is never closed');
    if (text.charCodeAt(at) < 32) {
      throw new Stop(at, 'a line break or control character stands inside quotation marks');
    }
    if (text[at] !== '\\') at++;
    else {
      const escape = matchAt(ESCAPE, text, at);
      if (escape === 0) throw new Stop(at, 'after this backslash stands what JSON does not know');
      at += escape;
    }
  }
  return at + 1;
};

const afterSpace = (text: string, at: number): number => at + matchAt(SPACE, text, at);

const expecting = (text: string, at: number, what: string): Stop =>
  new Stop(at, `${shown(text, at)} where ${what} should be`);

const afterKey = (text: string, at: number): number => {
  if (text[at] !== '"') throw expecting(text, at, 'a name in quotation marks');
  const end = afterSpace(text, afterString(text, at));
  if (text[end] !== ':') throw expecting(text, end, 'a colon');
  return afterSpace(text, end + 1);
};

/** The end of an object or a list; `close` ends it. */
const afterMany = (text: string, from: number, close: '}' | ']'): number => {
  let at = afterSpace(text, from + 1);
  if (text[at] === close) return at + 1;
  for (;;) {
    if (close === '}') at = afterKey(text, at);
    at = afterSpace(text, afterValue(text, at));
    if (text[at] === close) return at + 1;
    if (text[at] !== ',') throw expecting(text, at, `a comma or ${close}`);
    at = afterSpace(text, at + 1);
    if (text[at] === close)
      throw new Stop(at, `nothing stands after the last comma before ${close}`);
  }
};

const afterValue = (text: string, at: number): number => {
  if (text[at] === '{') return afterMany(text, at, '}');
  if (text[at] === '[') return afterMany(text, at, ']');
  if (text[at] === '"') return afterString(text, at);
  const length = matchAt(LITERAL, text, at);
  if (length === 0) throw expecting(text, at, 'a value');
  return at + length;
};

/** The first place where a text breaks the grammar of JSON (RFC 8259); undefined when it does not. */
export const jsonFault = (text: string): JsonFault | undefined => {
  try {
    const end = afterSpace(text, afterValue(text, afterSpace(text, 0)));
    if (end < text.length) throw expecting(text, end, 'the end of the text');
    return undefined;
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    const before = text.slice(0, error.at).split('\n');
    return {
      line: before.length,
      column: (before.at(-1)?.length ?? 0) + 1,
      what: error.message,
    };
  }
};
