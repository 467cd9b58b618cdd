import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import type { Family, Play } from './family.ts';
import { withTokens } from './payload.ts';
import { judgeRan, runOnFile } from './program.ts';

type Json = Record<string, unknown>;
interface GenericItem extends Json {
  slug: string;
  title?: string;
  weight?: unknown;
  anchors?: Record<string, string>;
}
interface GenericSection extends Json {
  slug: string;
  title?: string;
  items: GenericItem[];
}
interface Generic extends Json {
  format: unknown;
  title?: string;
  scale: { min: number; max: number };
  sections: GenericSection[];
}

const rest = (value: Json, known: readonly string[]): Json =>
  Object.fromEntries(Object.entries(value).filter(([key]) => !known.includes(key)));

/** One sentence for each point: those of the corpus where it has one. None stay none. */
const anchorsOf = (item: GenericItem, points: readonly number[]): string[] => {
  const given = item.anchors ?? {};
  if (Object.keys(given).length === 0) return [];
  return points.map((p) => given[String(p)] ?? `between the others (${String(p)})`);
};

const taskOf = (item: GenericItem, points: readonly number[]): Json => {
  const [template] = defaultProtocol.sections[0]?.tasks ?? [];
  return {
    ...template,
    id: item.slug,
    title: item.title ?? 'T',
    weight: item.weight ?? 1,
    anchors: anchorsOf(item, points),
    critical: item['critical'] === true ? 'The task cannot be done.' : null,
    measures: [],
    tools: [],
    // What a task of this format does not have stays, to be refused by name.
    ...rest(item, ['slug', 'title', 'weight', 'anchors', 'critical']),
  };
};

const pointsOf = ({ min, max }: Generic['scale']): number[] =>
  Array.from({ length: Math.max(0, max - min + 1) }, (_, i) => min + i);

/** The corpus' field names turned into those of this format; everything else is the shipped protocol's. */
const mapped = (generic: Generic): Json => {
  const points = pointsOf(generic.scale);
  return {
    ...defaultProtocol,
    format: generic.format,
    id: 'hostile',
    title: generic.title ?? 'P',
    scale: {
      id: 'corpus',
      title: 'Corpus',
      better: 'higher',
      datum: null,
      easierTick: null,
      ...generic.scale,
      points: points.map((value) => ({
        value,
        word: `point ${String(value)}`,
        meaning: 'as its anchor says',
      })),
    },
    measures: [],
    ladders: [],
    sections: generic.sections.map((s, i) => ({
      id: s.slug,
      letter: String.fromCharCode(65 + i),
      title: s.title ?? 'S',
      weight: 1,
      tasks: s.items.map((item) => taskOf(item, points)),
      ...rest(s, ['slug', 'title', 'items']),
    })),
    ...rest(generic, ['format', 'title', 'scale', 'sections']),
  };
};

/** Numbers that a double cannot hold go through as they are written. */
const BEYOND = /1e400/gu;

const translated = (text: string): string => {
  let value: unknown;
  try {
    value = JSON.parse(text.replaceAll(BEYOND, '"@1e400@"'));
  } catch {
    return text;
  }
  const generic = value as Generic;
  if (typeof value !== 'object' || value === null || !Array.isArray(generic.sections)) return text;
  // Large and deep files are refused before their fields are looked at.
  if (text.length > 100_000 || generic.sections.some((s) => !Array.isArray(s.items))) return text;
  const turned = JSON.stringify(mapped(generic)).replaceAll('"@1e400@"', '1e400');
  return Object.hasOwn(generic, '__proto__')
    ? turned.replace('{', '{"__proto__":{"polluted":1},')
    : turned;
};

const act = async (play: Play): Promise<void> => {
  const { judged, payload } = play;
  const tokens = { 'v.protocolFormat': defaultProtocol.format };
  const bytes = withTokens(payload, tokens);
  // A byte order mark or bytes that are no UTF-8 must reach the program as they are.
  const asIs = bytes[0] === 0xef || bytes.includes(0xe9);
  const file = asIs ? bytes : Buffer.from(translated(bytes.toString('utf8')));
  const ran = await runOnFile(file, (path) => ['protocol', 'check', path], 'protocol.json');
  judgeRan(play, ran, file.length * 12);
  const places = /\/\w+|\(line \d+|position \d+|column \d+|the file/u.test(
    ran.out + ran.err.replaceAll(ran.file, ''),
  );
  judged.observe('error-names-the-place', places, ran.out.slice(0, 300));
};

const check = ({ judged, hostile }: Play): void => {
  judged.unobserved('stored', 'this version checks protocol files and stores none');
  judged.unobserved('inert-render', 'no screen shows a protocol that is only checked');
  judged.unobserved('csv-inert', 'no table is exported from a protocol that is only checked');
  // White space at the ends of a title is trimmed when it is read.
  if (hostile.title.startsWith('formula') && judged.outcome === 'accepted-unchanged') {
    judged.outcome = 'accepted-sanitised';
  }
};

export const protocol: Family = { offline: true, act, check };
