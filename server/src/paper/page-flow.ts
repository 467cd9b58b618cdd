import PDFDocument from 'pdfkit';
import { breakLines } from './line-break.ts';

export type Paper = 'a4' | 'letter';

/** The two cuts of the typeface, TrueType, embedded as subsets. */
export interface PaperFonts {
  regular: Uint8Array;
  bold: Uint8Array;
}

export interface Style {
  bold: boolean;
  /** Points. */
  size: number;
  leading: number;
}

export const BODY: Style = { bold: false, size: 9.5, leading: 13.2 };
export const STRONG: Style = { ...BODY, bold: true };
export const SMALL: Style = { bold: false, size: 8.5, leading: 11.4 };
export const SMALL_STRONG: Style = { ...SMALL, bold: true };

export type Element = PDFKit.PDFStructureElement;
type Content = PDFKit.PDFStructureContent;

const MARGIN = { side: 54, top: 58, bottom: 62 };

/** What a font says about a sign; PDFKit keeps the font's own interface to itself. */
interface Glyphs {
  hasGlyphForCodePoint(code: number): boolean;
}

export interface PaperOptions {
  paper: Paper;
  fonts: PaperFonts;
  title: string;
  author: string;
  subject: string;
  /** Goes into the file's id and dates, so that the same record gives the same bytes. */
  keywords: string;
  at: Date;
  language: string;
  /** Whether the file calls itself PDF/UA-1. */
  accessible: boolean;
}

/** Options that the types of the library leave out. */
type Structure = PDFKit.Mixins.StructureElementOptions & { scope?: 'Row' | 'Column' };

/** What the types of the library leave out: the parts of its own work that are done better here. */
interface Inner {
  info: Record<string, unknown>;
  _addInfo(): void;
  appendXML(xml: string): void;
}

const xmlText = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

const PDF_UA =
  '<rdf:Description xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" rdf:about=""><pdfuaid:part>1</pdfuaid:part></rdf:Description>';

/**
 * The metadata beside the file's own: PDFKit writes title and subject into it as they are, which is no XML any more when
 * one holds `&` or `<`. Its own way to say PDF/UA would name the glyphs of each font, and leave out parts of glyphs.
 */
const mendMetadata = (doc: PDFKit.PDFDocument, accessible: boolean): void => {
  const inner = doc as unknown as Inner;
  const add = inner._addInfo.bind(inner);
  inner._addInfo = () => {
    const { info } = inner;
    inner.info = Object.fromEntries(
      Object.entries(info).map(([k, v]) => [k, typeof v === 'string' ? xmlText(v) : v]),
    );
    add();
    inner.info = info;
    if (accessible) inner.appendXML(PDF_UA);
  };
};

/** A tagged document that is filled from top to bottom: text in reading order, everything else an artifact. */
export class PageFlow {
  readonly doc: PDFKit.PDFDocument;
  readonly left = MARGIN.side;
  readonly width: number;
  readonly top = MARGIN.top;
  readonly bottom: number;
  y: number = MARGIN.top;
  /** Signs that the typeface lacks were met. */
  missing = false;
  readonly #bytes: Uint8Array[] = [];
  readonly #done: Promise<void>;
  readonly #glyphs: Glyphs;
  readonly #widths = new Map<string, number>();
  #style: Style | undefined;

  constructor(o: PaperOptions) {
    this.doc = new PDFDocument({
      size: o.paper === 'a4' ? 'A4' : 'LETTER',
      margin: 0,
      bufferPages: true,
      pdfVersion: '1.7',
      tagged: true,
      displayTitle: true,
      lang: o.language,
      font: o.fonts.regular as unknown as string,
      info: {
        Title: o.title,
        Author: o.author,
        Subject: o.subject,
        Keywords: o.keywords,
        Creator: o.author,
        Producer: 'PDFKit',
        CreationDate: o.at,
        ModDate: o.at,
      },
    });
    mendMetadata(this.doc, o.accessible);
    this.doc.on('data', (chunk: Uint8Array) => this.#bytes.push(chunk));
    this.#done = new Promise((resolve, reject) => {
      this.doc.on('end', resolve);
      this.doc.on('error', reject);
    });
    this.doc.registerFont('regular', o.fonts.regular);
    this.doc.registerFont('bold', o.fonts.bold);
    this.use(BODY);
    this.#glyphs = (this.doc as unknown as { _font: { font: Glyphs } })._font.font;
    this.width = this.doc.page.width - 2 * MARGIN.side;
    this.bottom = this.doc.page.height - MARGIN.bottom;
  }

  /** Sets the type for what is measured and drawn next. */
  use(style: Style): void {
    if (this.#style === style) return;
    this.#style = style;
    this.doc.font(style.bold ? 'bold' : 'regular').fontSize(style.size);
  }

  /** Signs without a glyph are written as their code points: nothing is lost and nothing is a blank box. */
  printable(text: string): string {
    let out = '';
    for (const sign of text) {
      const code = sign.codePointAt(0) ?? 0;
      if (code === 10 || code === 9 || this.#glyphs.hasGlyphForCodePoint(code)) out += sign;
      else {
        this.missing = true;
        out += `[U+${code.toString(16).toUpperCase().padStart(4, '0')}]`;
      }
    }
    return out;
  }

  widthOf(text: string, style: Style): number {
    const key = `${String(style.size)}${style.bold ? 'b' : 'r'}${text}`;
    const known = this.#widths.get(key);
    if (known !== undefined) return known;
    this.use(style);
    const width = this.doc.widthOfString(text);
    this.#widths.set(key, width);
    return width;
  }

  /** The lines of a text in a column of `width` points. */
  lines(text: string, style: Style, width: number): string[] {
    return breakLines(this.printable(text), width, (t) => this.widthOf(t, style));
  }

  newPage(): void {
    this.doc.addPage();
    this.#style = undefined;
    this.y = this.top;
  }

  /** Begins a new page unless `height` points are left on this one. */
  ensure(height: number): void {
    if (this.y + height > this.bottom && this.y > this.top) this.newPage();
  }

  element(tag: string, options: Structure = {}, children: (Element | Content)[] = []): Element {
    return children.length === 0
      ? this.doc.struct(tag, options)
      : this.doc.struct(tag, options, children);
  }

  /** A list whose items have labels of one kind. */
  list(): Element {
    const list = this.element('L');
    const { dictionary } = list as unknown as { dictionary: { data: Record<string, unknown> } };
    dictionary.data['A'] = { O: 'List', ListNumbering: 'Disc' };
    return list;
  }

  /** Draws as content of the structure; give the result to an element. */
  content(tag: string, draw: () => void): Content {
    const content = this.doc.markStructureContent(tag);
    draw();
    this.doc.endMarkedContent();
    return content;
  }

  /** Draws what a reader of the structure passes over: rules, repeated heads, page numbers. */
  artifact(draw: () => void, type: 'Layout' | 'Pagination' = 'Layout'): void {
    this.doc.markContent('Artifact', { type });
    draw();
    this.doc.endMarkedContent();
  }

  /** One line with its top at `y`. The blank at its end keeps words of two lines apart for those who listen. */
  line(text: string, x: number, y: number, style: Style, more = false): void {
    this.use(style);
    this.doc.fillColor('black').text(more ? `${text} ` : text, x, y, { lineBreak: false });
  }

  rule(x: number, y: number, width: number, weight: number): void {
    this.doc
      .moveTo(x, y)
      .lineTo(x + width, y)
      .lineWidth(weight)
      .strokeColor('black')
      .stroke();
  }

  /** Runs over all pages at the end, for what depends on their number. */
  eachPage(draw: (page: number, of: number) => void): void {
    const { count } = this.doc.bufferedPageRange();
    for (let i = 0; i < count; i++) {
      this.doc.switchToPage(i);
      this.#style = undefined;
      draw(i + 1, count);
    }
  }

  async bytes(): Promise<Uint8Array> {
    this.doc.end();
    await this.#done;
    return Buffer.concat(this.#bytes);
  }
}
