import type { Effect, Protocol, ProtocolChange } from '@unhindered/shared-types';
import { pointer } from './json-places.ts';
import { withNewIds } from './renamed-ids.ts';

type Item = Record<string, unknown>;

interface Spot {
  place: string;
  /** The way to the value in words and ids: `section "a", task "b", weight`. */
  name: string;
  /** The keys on the way, without positions and ids. */
  keys: readonly string[];
}

/** What names an entry of a list of objects, and the word for one entry. */
const LISTS: Record<string, readonly [key: string, one: string]> = {
  sections: ['id', 'section'],
  tasks: ['id', 'task'],
  measures: ['id', 'measure'],
  tools: ['id', 'tool'],
  states: ['id', 'equipment state'],
  ladders: ['id', 'ladder'],
  points: ['value', 'scale point'],
};

/** Fields that say something without changing what a rating, a trial or a sum means. */
const HARMLESS =
  /^(format|version|title|language|invented|cautions(\.\w+)?|tools(\.title)?|scale\.(title|id)|measures\.(name|symbol|warnMin|warnMax|threshold|source)|sections\.(letter|title|tasks\.(title|caution))|ladders(\.goal)?)$/u;

/** Fields that leave the ratings as they are but change what is summed, flagged or proposed from them. */
const FIGURES =
  /^(sections(\.tasks)?\.weight|sections\.tasks\.(critical|optional|criterion(\.\w+)*)|divergence(\.\w+)*|endorsement(\.\w+)?|gate\.\w+|ladders\..+|measures|measures\.(decimals|better|rejectMin|rejectMax))$/u;

/** Whatever is not named is taken to change the ratings, so that a field added later is never called harmless. */
const effectOf = (keys: readonly string[]): Effect => {
  const path = keys.join('.');
  if (HARMLESS.test(path)) return 'none';
  return FIGURES.test(path) ? 'figures' : 'ratings';
};

const isItem = (value: unknown): value is Item =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const shown = (value: unknown): string => (value === undefined ? 'absent' : JSON.stringify(value));

const step = (at: Spot, key: string): Spot => ({
  place: pointer(at.place, key),
  name: at.name === '' ? key : `${at.name}, ${key}`,
  keys: [...at.keys, key],
});

/** Entries added, taken away, moved and changed, found by what names them and not by where they stand. */
const namedList = (at: Spot, older: Item[], newer: Item[]): ProtocolChange[] => {
  const [key, one] = LISTS[at.keys.at(-1) ?? ''] ?? ['id', 'entry'];
  const owner = at.name.split(', ').slice(0, -1).join(', ');
  const effect = effectOf(at.keys);
  const spot = (item: Item, i: number): Spot => ({
    place: pointer(at.place, i),
    name: `${owner === '' ? '' : `${owner}, `}${one} ${shown(item[key])}`,
    keys: at.keys,
  });
  const before = new Map(older.map((item) => [item[key], item]));
  const after = new Map(newer.map((item) => [item[key], item]));
  const changes: ProtocolChange[] = [];
  older.forEach((item, i) => {
    const { place, name } = spot(item, i);
    if (!after.has(item[key])) changes.push({ place, words: `${name} was taken away`, effect });
  });
  newer.forEach((item, i) => {
    const here = spot(item, i);
    const old = before.get(item[key]);
    if (old) changes.push(...between(here, old, item));
    else changes.push({ place: here.place, words: `${here.name} was added`, effect });
  });
  const kept = [...before.keys()].filter((id) => after.has(id));
  const now = [...after.keys()].filter((id) => before.has(id));
  if (kept.some((id, i) => id !== now[i])) {
    changes.push({ place: at.place, words: `${at.name} stand in another order`, effect: 'none' });
  }
  return changes;
};

const between = (at: Spot, older: unknown, newer: unknown): ProtocolChange[] => {
  if (shown(older) === shown(newer)) return [];
  if (isItem(older) && isItem(newer)) {
    const keys = [...new Set([...Object.keys(older), ...Object.keys(newer)])].sort();
    return keys.flatMap((key) => between(step(at, key), older[key], newer[key]));
  }
  if (Array.isArray(older) && Array.isArray(newer)) {
    const all: unknown[] = [...(older as unknown[]), ...(newer as unknown[])];
    if ((at.keys.at(-1) ?? '') in LISTS && all.every(isItem)) {
      return namedList(at, older as Item[], newer as Item[]);
    }
    if (at.keys.at(-1) === 'anchors' && older.length === newer.length) {
      return older.flatMap((text: unknown, i) =>
        between(
          { ...at, place: pointer(at.place, i), name: `${at.name} ${String(i + 1)}` },
          text,
          newer[i],
        ),
      );
    }
  }
  const words = `${at.name} changed from ${shown(older)} to ${shown(newer)}`;
  return [{ place: at.place, words, effect: effectOf(at.keys) }];
};

/** An id that was changed is said once, at its entry, and not again at everything that refers to it. */
const renames = (
  older: Protocol,
  newer: Protocol,
): { from: Protocol; changes: ProtocolChange[] } => {
  const { protocol, renamed } = withNewIds(older, newer);
  const changes = renamed.map(({ kind, from, to, place }): ProtocolChange => {
    const one = LISTS[kind]?.[1] ?? 'entry';
    const words = `${one} ${shown(from)} is called ${shown(to)} now: the same one, to be looked for by the new id`;
    return { place, words, effect: 'none' };
  });
  return { from: protocol, changes };
};

/**
 * PR-4: every difference between two protocol versions in words, and what it does to their results; equal versions
 * have none. Both are protocols that passed the check; the order of keys in an object says nothing. An entry that bears
 * another id but is the same by its words is said as renamed (PR-13), every other one as taken away and added.
 */
export const diffProtocols = (older: Protocol, newer: Protocol): ProtocolChange[] => {
  const { from, changes } = renames(older, newer);
  return [...changes, ...between({ place: '', name: '', keys: [] }, from, newer)];
};
