import { inflateSync } from 'node:zlib';

/** A name of PDF, apart from texts. */
export class Name {
  readonly name: string;
  constructor(name: string) {
    this.name = name;
  }
}
export class Ref {
  readonly id: number;
  constructor(id: number) {
    this.id = id;
  }
}
/** An operator of a content stream. */
export class Operator extends Name {}
export type Dict = Map<string, PdfValue>;
export type PdfValue = number | boolean | null | string | Name | Ref | PdfValue[] | Dict;

const DELIMITER = /[\s()<>[\]{}/%]/u;
const ESCAPES: Record<string, string> = { n: '\n', r: '\r', t: '\t', b: '\b', f: '\f' };

/** A text string: UTF-16 with its mark, else byte by byte. */
export const textOf = (bytes: string): string =>
  bytes.startsWith('\xfe\xff')
    ? Buffer.from(bytes.slice(2), 'latin1').swap16().toString('utf16le')
    : bytes;

/** Reads values of PDF syntax out of a file or a content stream, given byte by byte as Latin-1. */
export class Reader {
  readonly #text: string;
  at: number;
  constructor(text: string, at = 0) {
    this.#text = text;
    this.at = at;
  }

  #space(): void {
    for (;;) {
      while (/[\s\0]/u.test(this.#text[this.at] ?? '')) this.at++;
      if (this.#text[this.at] !== '%') return;
      while (this.at < this.#text.length && !/[\r\n]/u.test(this.#text[this.at] ?? '')) this.at++;
    }
  }

  #word(): string {
    const from = this.at;
    while (this.at < this.#text.length && !DELIMITER.test(this.#text[this.at] ?? '')) this.at++;
    return this.#text.slice(from, this.at);
  }

  #literal(): string {
    let out = '';
    for (let depth = 1; depth > 0;) {
      const sign = this.#text[this.at++] ?? '';
      if (sign === '') throw new Error('a text without its end');
      if (sign === '\\') {
        const octal = /^[0-7]{1,3}/u.exec(this.#text.slice(this.at, this.at + 3))?.[0];
        const next = this.#text[this.at] ?? '';
        this.at += octal?.length ?? 1;
        out += octal ? String.fromCharCode(parseInt(octal, 8)) : (ESCAPES[next] ?? next);
        continue;
      }
      if (sign === '(') depth++;
      if (sign === ')') depth--;
      if (depth > 0) out += sign;
    }
    return out;
  }

  #until(end: string): PdfValue[] {
    const items: PdfValue[] = [];
    for (;;) {
      this.#space();
      if (this.#text.startsWith(end, this.at)) break;
      items.push(this.value());
      const [number, , mark] = items.slice(-3);
      if (mark instanceof Operator && mark.name === 'R' && typeof number === 'number') {
        items.splice(-3, 3, new Ref(number));
      }
    }
    this.at += end.length;
    return items;
  }

  get ended(): boolean {
    this.#space();
    return this.at >= this.#text.length;
  }

  value(): PdfValue {
    this.#space();
    const two = this.#text.slice(this.at, this.at + 2);
    const one = two[0] ?? '';
    if (two === '<<') {
      this.at += 2;
      const items = this.#until('>>');
      const dict: Dict = new Map();
      for (let i = 0; i < items.length; i += 2) {
        dict.set((items[i] as Name).name, items[i + 1] ?? null);
      }
      return dict;
    }
    this.at++;
    if (one === '[') return this.#until(']');
    if (one === '(') return this.#literal();
    if (one === '/') {
      return new Name(
        this.#word().replace(/#([\da-f]{2})/giu, (_, h: string) =>
          String.fromCharCode(parseInt(h, 16)),
        ),
      );
    }
    if (one === '<') {
      const end = this.#text.indexOf('>', this.at);
      const hex = this.#text.slice(this.at, end).replace(/\s/gu, '');
      this.at = end + 1;
      return Buffer.from(hex, 'hex').toString('latin1');
    }
    this.at--;
    const word = this.#word();
    if (word === '') throw new Error(`nothing to read at ${String(this.at)}`);
    if (/^[+-]?(\d+\.?\d*|\.\d+)$/u.test(word)) return Number(word);
    if (word === 'true' || word === 'false') return word === 'true';
    return word === 'null' ? null : new Operator(word);
  }
}

/** The objects of a file without object streams, and the dictionaries one asks for. */
export class PdfFile {
  readonly #objects = new Map<number, PdfValue>();
  readonly #streams = new Map<number, Buffer>();
  readonly root: Dict;
  readonly info: Dict;

  constructor(bytes: Uint8Array) {
    const text = Buffer.from(bytes).toString('latin1');
    const table = Number(/startxref\s+(\d+)\s+%%EOF\s*$/u.exec(text)?.[1]);
    const entries = /^xref\s+0 (\d+)\s+/u.exec(text.slice(table));
    const count = Number(entries?.[1]);
    const first = table + (entries?.[0].length ?? 0);
    for (let id = 1; id < count; id++) {
      const at = Number(text.slice(first + 20 * id, first + 20 * id + 10));
      const head = new RegExp(`^${String(id)} 0 obj\\s`, 'u').exec(text.slice(at, at + 24));
      if (!head) throw new Error(`object ${String(id)} is not where the table says`);
      this.#read(text, id, at + head[0].length);
    }
    const trailer = new Reader(text, text.lastIndexOf('trailer') + 7).value() as Dict;
    this.root = this.dict(trailer.get('Root'));
    this.info = this.dict(trailer.get('Info'));
  }

  #read(text: string, id: number, at: number): void {
    const reader = new Reader(text, at);
    const value = reader.value();
    this.#objects.set(id, value);
    const stream = /^\s*stream\r?\n/u.exec(text.slice(reader.at, reader.at + 12));
    if (!stream || !(value instanceof Map)) return;
    const from = reader.at + stream[0].length;
    const raw = Buffer.from(text.slice(from, from + Number(value.get('Length'))), 'latin1');
    const filter = value.get('Filter');
    this.#streams.set(id, filter instanceof Name ? inflateSync(raw) : raw);
  }

  /** What a value or a reference stands for. */
  of(value: PdfValue | undefined): PdfValue | undefined {
    return value instanceof Ref ? this.#objects.get(value.id) : value;
  }

  dict(value: PdfValue | undefined): Dict {
    const found = this.of(value);
    return found instanceof Map ? found : new Map<string, PdfValue>();
  }

  list(value: PdfValue | undefined): PdfValue[] {
    const found = this.of(value);
    return Array.isArray(found) ? found : [];
  }

  name(value: PdfValue | undefined): string {
    const found = this.of(value);
    return found instanceof Name ? found.name : '';
  }

  text(value: PdfValue | undefined): string {
    const found = this.of(value);
    return typeof found === 'string' ? textOf(found) : '';
  }

  stream(value: PdfValue | undefined): Buffer {
    const found = value instanceof Ref ? this.#streams.get(value.id) : undefined;
    if (!found) throw new Error('a stream is missing');
    return found;
  }

  /** Every object that is a dictionary of this type. */
  typed(type: string): Dict[] {
    return [...this.#objects.values()].filter(
      (o): o is Dict => o instanceof Map && this.name(o.get('Type')) === type,
    );
  }

  get pages(): { ref: Ref; page: Dict }[] {
    return this.list(this.dict(this.root.get('Pages')).get('Kids')).map((ref) => ({
      ref: ref as Ref,
      page: this.dict(ref),
    }));
  }
}
