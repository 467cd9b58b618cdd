/** Where in a JSON text a value starts, by its JSON pointer (`/sections/0/id`), 1-based line and column. */
export type Places = ReadonlyMap<string, { line: number; column: number }>;

/** JSON pointer (RFC 6901) to an entry of the value that `place` points to. */
export const pointer = (place: string, key: string | number): string =>
  `${place}/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`;

/**
 * Walks a JSON text that JSON.parse accepts and notes where each value starts, and which objects repeat a key
 * (JSON.parse silently keeps the last one).
 */
export const jsonPlaces = (text: string): { places: Places; repeated: string[] } => {
  const places = new Map<string, { line: number; column: number }>();
  const repeated: string[] = [];
  let i = 0;
  let line = 1;
  let lineStart = 0;
  const skip = (): void => {
    for (; /[\s]/u.test(text[i] ?? ''); i++) {
      if (text[i] === '\n') {
        line++;
        lineStart = i + 1;
      }
    }
  };
  const string = (): string => {
    const start = i++;
    while (text[i] !== '"') i += text[i] === '\\' ? 2 : 1;
    i++;
    return JSON.parse(text.slice(start, i)) as string;
  };
  const object = (path: string): void => {
    const keys = new Set<string>();
    i++;
    for (skip(); text[i] !== '}'; skip()) {
      const key = string();
      const inner = pointer(path, key);
      if (keys.has(key)) repeated.push(inner);
      keys.add(key);
      skip();
      i++;
      value(inner);
      skip();
      if (text[i] === ',') i++;
    }
    i++;
  };
  const array = (path: string): void => {
    i++;
    let index = 0;
    for (skip(); text[i] !== ']'; skip()) {
      value(`${path}/${String(index++)}`);
      skip();
      if (text[i] === ',') i++;
    }
    i++;
  };
  const value = (path: string): void => {
    skip();
    places.set(path, { line, column: i - lineStart + 1 });
    if (text[i] === '{') object(path);
    else if (text[i] === '[') array(path);
    else if (text[i] === '"') string();
    else while (/[^\s,\]}]/u.test(text[i] ?? ' ')) i++;
  };
  value('');
  return { places, repeated };
};
