import {
  type Name,
  Operator,
  PdfFile,
  Reader,
  Ref,
  type Dict,
  type PdfValue,
} from './pdf-objects.ts';

/** A node of the structure tree. */
interface Node {
  tag: string;
  dict: Dict;
  kids: Node[];
  /** `page mcid` of its own content. */
  content: string[];
}

const STANDARD = new Set(
  (
    'Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl LBody ' +
    'Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby Warichu Figure Formula Form'
  ).split(' '),
);

/** What may stand in what; nothing is said of others. */
const INSIDE: Record<string, readonly string[]> = {
  L: ['LI', 'L', 'Caption'],
  LI: ['Lbl', 'LBody'],
  Table: ['TR', 'THead', 'TBody', 'TFoot', 'Caption'],
  TR: ['TH', 'TD'],
};
const PARENT: Record<string, readonly string[]> = {
  LI: ['L'],
  LBody: ['LI'],
  TR: ['Table', 'THead', 'TBody', 'TFoot'],
  TH: ['TR'],
  TD: ['TR'],
};

const PAINTS = new Set('f F f* B B* b b* S s Tj TJ \' " Do sh EI'.split(' '));

/** Marked content of a page: the numbers met, and what is painted outside, or one kind within the other. */
const contentFaults = (
  file: PdfFile,
  page: Dict,
  no: number,
): { ids: number[]; faults: string[] } => {
  const text = file.stream(page.get('Contents')).toString('latin1');
  const reader = new Reader(text);
  const open: ('artifact' | 'tagged')[] = [];
  const [ids, faults]: [number[], string[]] = [[], []];
  let operands: PdfValue[] = [];
  while (!reader.ended) {
    const value = reader.value();
    if (!(value instanceof Operator)) {
      operands.push(value);
      continue;
    }
    const op = value.name;
    if (op === 'BDC' || op === 'BMC') {
      const kind = (operands[0] as Name).name === 'Artifact' ? 'artifact' : 'tagged';
      if (open.length > 0) faults.push(`page ${String(no)}: ${kind} content inside other content`);
      const mcid = operands[1] instanceof Map ? operands[1].get('MCID') : undefined;
      if (kind === 'tagged' && typeof mcid !== 'number')
        faults.push(`page ${String(no)}: content without a number`);
      if (typeof mcid === 'number') ids.push(mcid);
      open.push(kind);
    } else if (op === 'EMC') {
      if (!open.pop()) faults.push(`page ${String(no)}: an end without a beginning`);
    } else if (PAINTS.has(op) && open.length === 0) {
      faults.push(`page ${String(no)}: ${op} paints neither content nor artifact`);
    }
    operands = [];
  }
  if (open.length > 0) faults.push(`page ${String(no)}: content without an end`);
  return { ids, faults };
};

const nodeOf = (file: PdfFile, value: PdfValue, pages: ReadonlyMap<number, number>): Node => {
  const dict = file.dict(value);
  const own = dict.get('Pg');
  const kids: Node[] = [];
  const content: string[] = [];
  const k = file.of(dict.get('K'));
  const place = (pg: PdfValue | undefined, mcid: PdfValue | undefined): void => {
    const ref = pg ?? own;
    content.push(
      `${String(ref instanceof Ref ? pages.get(ref.id) : '?')} ${typeof mcid === 'number' ? String(mcid) : '?'}`,
    );
  };
  for (const kid of Array.isArray(k) ? k : k === undefined ? [] : [dict.get('K') ?? null]) {
    const found = file.of(kid);
    if (typeof found === 'number') place(undefined, found);
    else if (found instanceof Map && file.name(found.get('Type')) === 'MCR') {
      place(found.get('Pg'), found.get('MCID'));
    } else kids.push(nodeOf(file, kid, pages));
  }
  return { tag: file.name(dict.get('S')), dict, kids, content };
};

const attributesOf = (file: PdfFile, { dict }: Node): Dict[] => {
  const a = file.of(dict.get('A'));
  return Array.isArray(a) ? a.map((x) => file.dict(x)) : a instanceof Map ? [a] : [];
};

const nodeFaults = (file: PdfFile, node: Node): string[] => {
  const faults: string[] = [];
  const { tag, kids, dict } = node;
  if (!STANDARD.has(tag)) faults.push(`${tag} is no standard tag`);
  for (const kid of kids) {
    const inside = INSIDE[tag];
    if (inside && !inside.includes(kid.tag)) faults.push(`${kid.tag} stands in ${tag}`);
    const parents = PARENT[kid.tag];
    if (parents && !parents.includes(tag)) faults.push(`${kid.tag} stands in ${tag}`);
  }
  const attribute = (key: string): PdfValue | undefined =>
    attributesOf(file, node)
      .find((a) => a.has(key))
      ?.get(key);
  if (tag === 'Figure') {
    if (file.text(dict.get('Alt')).trim() === '') faults.push('a Figure without words for it');
    if (!Array.isArray(attribute('BBox'))) faults.push('a Figure without its box');
  }
  if (tag === 'TH' && !['Row', 'Column', 'Both'].includes(file.name(attribute('Scope')))) {
    faults.push('a TH without scope');
  }
  if (tag === 'Table') {
    const widths = new Set(kids.filter((k) => k.tag === 'TR').map((r) => r.kids.length));
    if (widths.size > 1) faults.push('a Table whose rows have different numbers of cells');
  }
  const labelled = kids.some((li) => li.kids.some((k) => k.tag === 'Lbl'));
  if (tag === 'L' && labelled && ['', 'None'].includes(file.name(attribute('ListNumbering')))) {
    faults.push('an L with labels without ListNumbering');
  }
  return [...faults, ...kids.flatMap((kid) => nodeFaults(file, kid))];
};

const flat = (node: Node): Node[] => [node, ...node.kids.flatMap(flat)];

const headingFaults = (nodes: readonly Node[]): string[] => {
  let before = 0;
  return nodes.flatMap(({ tag, content, kids }) => {
    if (tag === 'H') return ['an H beside numbered headings'];
    const level = Number(/^H([1-6])$/u.exec(tag)?.[1] ?? 0);
    if (level === 0) return [];
    const skipped = level > before + 1 ? [`H${String(level)} comes after H${String(before)}`] : [];
    before = level;
    return content.length + kids.length === 0 ? [...skipped, `an empty ${tag}`] : skipped;
  });
};

const fontFaults = (file: PdfFile): string[] =>
  file.typed('Font').flatMap((font) => {
    const name = file.name(font.get('BaseFont'));
    const subtype = file.name(font.get('Subtype'));
    if (subtype === 'Type0') {
      if (!font.has('ToUnicode')) return [`${name} has no ToUnicode`];
      const map = file.stream(font.get('ToUnicode')).toString('latin1');
      const to = [...map.matchAll(/<([\da-f]{4,})>(?=[\s\]])/giu)].map((m) => m[1] ?? '');
      const bad = to.filter((h) => /^(0000|FEFF|FFFE)$/iu.test(h)).length;
      // The first code is that of the glyph for what is missing; nothing is written with it.
      return bad > 2 ? [`${name} maps ${String(bad)} codes to nothing`] : [];
    }
    if (!subtype.startsWith('CIDFontType')) return [`${name} is a ${subtype} font`];
    const about = file.dict(font.get('FontDescriptor'));
    const embedded = ['FontFile2', 'FontFile3'].some((key) => about.has(key));
    return [
      ...(embedded ? [] : [`${name} is not embedded`]),
      ...(subtype !== 'CIDFontType2' || font.has('CIDToGIDMap')
        ? []
        : [`${name} has no CIDToGIDMap`]),
      ...(about.has('CIDSet')
        ? [`${name} has a CIDSet, which would have to name every glyph`]
        : []),
    ];
  });

const metadataFaults = (file: PdfFile): string[] => {
  if (!file.root.has('Metadata')) return ['no metadata'];
  const xml = file.stream(file.root.get('Metadata')).toString('utf8');
  const title = /<dc:title>\s*<rdf:Alt>\s*<rdf:li xml:lang="x-default">([^<]*)</u.exec(xml)?.[1];
  const plain = title
    ?.replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&');
  return [
    ...(/<pdfuaid:part>1<\/pdfuaid:part>/u.test(xml) ? [] : ['the metadata does not say PDF/UA-1']),
    ...(plain === file.text(file.info.get('Title'))
      ? []
      : ['the title of the metadata is another']),
    ...(/&(?!(?:amp|lt|gt|quot|apos);)/u.test(xml) ? ['the metadata is no XML'] : []),
  ];
};

const catalogFaults = (file: PdfFile): string[] => {
  const marks = file.dict(file.root.get('MarkInfo'));
  const shows = file.dict(file.root.get('ViewerPreferences')).get('DisplayDocTitle');
  return [
    ...(marks.get('Marked') === true ? [] : ['it is not marked']),
    ...(marks.get('Suspects') === true ? ['its tags are suspect'] : []),
    ...(shows === true ? [] : ['its title is not shown']),
    ...(/^[a-z]{2,3}(-[A-Za-z\d]+)*$/u.test(file.text(file.root.get('Lang')))
      ? []
      : ['no language']),
    ...(file.root.has('Outlines') ? [] : ['no bookmarks']),
    ...(file.typed('Annot').length > 0 ? ['there are annotations, which nobody looked at'] : []),
  ];
};

/** Every content of every page is in the tree once, and the tree names no other; the way back holds too. */
const coverageFaults = (nodes: readonly Node[], ids: readonly string[]): string[] => {
  const named = nodes.flatMap((n) => n.content);
  const twice = named.filter((n, i) => named.indexOf(n) !== i);
  const tree = new Set(named);
  const drawn = new Set(ids);
  const lost = ids.filter((id) => !tree.has(id));
  const strange = named.filter((id) => !drawn.has(id));
  return [
    ...lost.map((id) => `content ${id} is in no element`),
    ...strange.map((id) => `an element names content ${id}, which is not there`),
    ...twice.map((id) => `content ${id} is in two elements`),
  ];
};

/**
 * What a machine can tell of ISO 14289-1 (PDF/UA-1), by the objects of a file: the parts that a record has. Links, forms,
 * notes and embedded files do not occur in it, and are called a fault when they do.
 */
export const pdfUaFaults = (bytes: Uint8Array): string[] => {
  const file = new PdfFile(bytes);
  const pages = new Map(file.pages.map(({ ref }, i) => [ref.id, i + 1]));
  const contents = file.pages.map(({ page }, i) => contentFaults(file, page, i + 1));
  const ids = contents.flatMap((c, i) => c.ids.map((id) => `${String(i + 1)} ${String(id)}`));
  const top = file.dict(file.root.get('StructTreeRoot'));
  const k = file.of(top.get('K'));
  const roots = (Array.isArray(k) ? k : [top.get('K') ?? null]).map((n) => nodeOf(file, n, pages));
  const nodes = roots.flatMap(flat);
  return [
    ...catalogFaults(file),
    ...metadataFaults(file),
    ...contents.flatMap((c) => c.faults),
    ...file.pages.flatMap(({ page }, i) =>
      file.name(page.get('Tabs')) === 'S' ? [] : [`page ${String(i + 1)} has another tab order`],
    ),
    ...(roots.length === 1 && roots[0]?.tag === 'Document'
      ? []
      : ['the tree has not one Document']),
    ...(top.has('ParentTree') ? [] : ['no way back from content to the tree']),
    ...roots.flatMap((n) => nodeFaults(file, n)),
    ...headingFaults(nodes),
    ...coverageFaults(nodes, ids),
    ...fontFaults(file),
  ];
};
