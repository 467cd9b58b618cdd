import * as v from 'valibot';
import { slug } from './ids.ts';
import { valueAt } from './json-pointer.ts';
import { measureId } from './protocol.ts';

/** Lists of a protocol file whose entries bear an id. */
export type IdKind = 'states' | 'tools' | 'measures' | 'sections' | 'tasks' | 'ladders';

/** One place of a protocol file where an id stands. */
export interface IdPlace {
  kind: IdKind;
  id: string;
  /** JSON pointer into the file. */
  path: string;
}

type Way = readonly [kind: IdKind, way: string];

/** Where entries bear their own id; a star stands for every entry of a list. */
const BORN: readonly Way[] = [
  ['states', 'states/*/id'],
  ['tools', 'tools/*/id'],
  ['measures', 'measures/*/id'],
  ['sections', 'sections/*/id'],
  ['tasks', 'sections/*/tasks/*/id'],
  ['ladders', 'ladders/*/id'],
];

/** Where they are referred to. Nothing refers to a section or a ladder. */
const REFERRED: readonly Way[] = [
  ['states', 'sections/*/tasks/*/state'],
  ['tools', 'sections/*/tasks/*/tools/*'],
  ['measures', 'sections/*/tasks/*/measures/*'],
  ['measures', 'sections/*/tasks/*/criterion/measure'],
  ['measures', 'sections/*/tasks/*/criterion/of/*/measure'],
  ['tasks', 'ladders/*/rungs/*/task'],
  ['tasks', 'rest/tasks/*'],
];

const isOwner = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;

const along = (
  value: unknown,
  [key, ...rest]: readonly string[],
  path: string,
): [string, string][] => {
  if (key === undefined) return typeof value === 'string' ? [[path, value]] : [];
  if (key !== '*') return isOwner(value) ? along(value[key], rest, `${path}/${key}`) : [];
  if (!Array.isArray(value)) return [];
  return value.flatMap((one: unknown, i) => along(one, rest, `${path}/${String(i)}`));
};

const places = (value: unknown, ways: readonly Way[]): IdPlace[] =>
  ways.flatMap(([kind, way]) =>
    along(value, way.split('/'), '').map(([path, id]) => ({ kind, id, path })),
  );

/** Every id that an entry bears, in a value that need not be a good protocol. */
export const idsOf = (value: unknown): IdPlace[] => places(value, BORN);

/** What renaming an id changes, or why it is refused: ids of that shape are not taken, or another entry bears it. */
export type RenamePlan =
  | {
      ok: true;
      from: string;
      /** Where the new id is written: the entry itself first, then what refers to it. */
      places: string[];
      /** Another entry bears the old id too, so that what refers to it stays with that one. */
      twin: boolean;
    }
  | { ok: false; why: 'shape' }
  | { ok: false; why: 'taken'; by: string };

/**
 * PR-12: renaming an id renames what refers to it. `path` is the JSON pointer of the id of one entry, `to` the new id.
 * Nothing is changed here, and nothing is guessed: an id that another entry of the kind bears is refused.
 */
export const planRename = (value: unknown, path: string, to: string): RenamePlan => {
  const born = idsOf(value);
  const own = born.find((place) => place.path === path);
  const kind = own?.kind ?? BORN.find(([, way]) => fits(way, path))?.[0];
  const from = own?.id ?? '';
  const others = born.filter((place) => place.kind === kind && place.path !== path);
  const twin = others.some(({ id }) => id === from);
  if (valueAt(value, path) === to) return { ok: true, from, places: [], twin };
  if (!v.is(kind === 'measures' ? measureId : slug, to)) return { ok: false, why: 'shape' };
  const taken = others.find(({ id }) => id === to);
  if (taken) return { ok: false, why: 'taken', by: taken.path };
  const follow = places(value, REFERRED).filter((r) => r.kind === kind && r.id === from);
  const followers = twin || from === '' ? [] : follow.map((r) => r.path);
  return { ok: true, from, places: [path, ...followers], twin };
};

const fits = (way: string, path: string): boolean =>
  path.replace(/\/\d+(?=\/|$)/gu, '/*') === `/${way}`;
