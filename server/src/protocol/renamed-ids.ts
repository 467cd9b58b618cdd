import {
  idsOf,
  planRename,
  putAt,
  valueAt,
  type IdKind,
  type Protocol,
} from '@unhindered/shared-types';

/** One entry that bears another id in the newer version. */
export interface Renamed {
  kind: IdKind;
  from: string;
  to: string;
  /** JSON pointer of the id in the newer version. */
  place: string;
}

/** What an entry is by its words, whatever its id. Weights, limits and references may have changed beside the id. */
const SAME_BY: Record<IdKind, readonly string[]> = {
  states: ['title'],
  tools: ['title'],
  measures: ['name', 'unit'],
  sections: ['title'],
  tasks: ['does', 'anchors'],
  ladders: ['goal'],
};

interface Entry {
  kind: IdKind;
  id: string;
  path: string;
  /** Kind and words in one text. */
  by: string;
}

/** Entries of the first whose ids the second does not have. */
const only = (one: Protocol, other: Protocol): Entry[] => {
  const there = new Set(idsOf(other).map(({ kind, id }) => `${kind} ${id}`));
  return idsOf(one)
    .filter(({ kind, id }) => !there.has(`${kind} ${id}`))
    .map(({ kind, id, path }) => {
      const entry = path.slice(0, path.lastIndexOf('/'));
      const said = SAME_BY[kind].map((key) => valueAt(one, `${entry}/${key}`));
      return { kind, id, path, by: JSON.stringify([kind, ...said]) };
    });
};

/** Entries by their words, those left out that share them with another: nobody could say which became which. */
const alone = (entries: readonly Entry[]): Map<string, Entry> => {
  const times = new Map<string, number>();
  for (const { by } of entries) times.set(by, (times.get(by) ?? 0) + 1);
  return new Map(entries.filter(({ by }) => times.get(by) === 1).map((e) => [e.by, e]));
};

/**
 * PR-13: the older version with the ids of the newer one, wherever an entry went and one with the same words came, and
 * what was renamed so. Of two with the same words none is taken for the other.
 */
export const withNewIds = (
  older: Protocol,
  newer: Protocol,
): { protocol: Protocol; renamed: Renamed[] } => {
  const came = alone(only(newer, older));
  const renamed: Renamed[] = [];
  const protocol = structuredClone(older);
  for (const [by, gone] of alone(only(older, newer))) {
    const now = came.get(by);
    if (!now) continue;
    const plan = planRename(protocol, gone.path, now.id);
    if (!plan.ok) continue;
    for (const place of plan.places) putAt(protocol, place, now.id);
    renamed.push({ kind: gone.kind, from: gone.id, to: now.id, place: now.path });
  }
  return { protocol, renamed };
};
