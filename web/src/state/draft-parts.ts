import { keysOf, valueAt } from '@unhindered/shared-types';
import { words } from '../words/protocols.ts';

/**
 * How a field is typed. `maybe-` ones may be empty, which is null in the file, an empty `absent-` one is not in it; an `id` is referred to by other parts, and
 * is renamed with them.
 */
export type FieldKind =
  | 'line'
  | 'id'
  | 'text'
  | 'number'
  | 'maybe-number'
  | 'maybe-line'
  | 'maybe-text'
  | 'absent-line'
  | 'tick'
  | 'pick';

/** One field of a form: its key in the file, and what may be chosen where there is a choice. */
export interface FieldSpec {
  key: string;
  kind: FieldKind;
  options?: readonly string[];
}

const line = (key: string): FieldSpec => ({ key, kind: 'line' });
const text = (key: string): FieldSpec => ({ key, kind: 'text' });
const number = (key: string): FieldSpec => ({ key, kind: 'number' });
const maybe = (key: string): FieldSpec => ({ key, kind: 'maybe-number' });
const born: FieldSpec = { key: 'id', kind: 'id' };
const tick = (key: string): FieldSpec => ({ key, kind: 'tick' });
const pick = (key: string, ...options: string[]): FieldSpec => ({ key, kind: 'pick', options });

/** The fields of each part of a protocol, in the order they are shown. Lists have places of their own. */
export const FIELDS = {
  about: [
    line('title'),
    line('id'),
    line('version'),
    { key: 'language', kind: 'absent-line' },
    tick('invented'),
  ],
  scale: [
    line('title'),
    line('id'),
    number('min'),
    number('max'),
    pick('better', 'lower', 'higher'),
    maybe('datum'),
    { key: 'easierTick', kind: 'maybe-line' },
  ],
  point: [number('value'), line('word'), text('meaning')],
  named: [line('title'), born],
  section: [line('title'), line('letter'), born, number('weight')],
  task: [
    line('title'),
    born,
    number('weight'),
    pick('basis', 'relative', 'absolute'),
    pick('onVideo', 'yes', 'partly', 'no'),
    tick('optional'),
    text('does'),
    { key: 'critical', kind: 'maybe-text' },
    text('notApplicable'),
    text('caution'),
  ],
  measure: [
    line('name'),
    born,
    line('symbol'),
    line('unit'),
    number('decimals'),
    pick('better', 'lower', 'higher', 'target', 'none'),
    maybe('rejectMin'),
    maybe('rejectMax'),
    maybe('warnMin'),
    maybe('warnMax'),
    { key: 'threshold', kind: 'maybe-text' },
    { key: 'source', kind: 'maybe-text' },
  ],
  ladder: [line('goal'), born],
  gate: [number('minValidTrials'), number('minShareOfValidTrials')],
  cautions: [
    ...['scope', 'thresholds', 'session', 'gate', 'comparison', 'removal', 'remote'].map(text),
    ...['skills', 'incident', 'consent'].map(text),
  ],
} satisfies Record<string, FieldSpec[]>;

/** The parts of the form, by the JSON pointer each begins with; `/` is title and version. */
export const PARTS = [
  '/',
  '/scale',
  '/states',
  '/tools',
  '/measures',
  '/sections',
  '/ladders',
  '/rules',
  '/cautions',
] as const;

/** The part in which a place of the file is edited. */
export const partOf = (path: string): string => {
  const task = /^\/sections\/\d+\/tasks\/\d+/u.exec(path)?.[0];
  const section = /^\/sections\/\d+/u.exec(path)?.[0];
  if (task !== undefined) return task;
  if (section !== undefined) return section;
  const [, first = ''] = path.split('/');
  if (
    ['divergence', 'gate', 'endorsement', 'rest', 'rounds', 'evidenceBeforeRating'].includes(first)
  )
    return '/rules';
  const known = PARTS.find((part) => part === `/${first}`);
  return known ?? '/';
};

const textAt = (value: unknown, path: string): string => {
  const found = valueAt(value, path);
  return typeof found === 'string' ? found : '';
};

/** A place of the file in words: the section, the task or the entry, and the field. */
export const placeWords = (value: unknown, path: string): string => {
  if (path === '') return words.faults.whole;
  const keys = keysOf(path);
  const said: string[] = [];
  let at = '';
  for (const key of keys) {
    const list = keysOf(at).at(-1) ?? '';
    at = `${at}/${key.replaceAll('~', '~0').replaceAll('/', '~1')}`;
    if (/^\d+$/u.test(key)) {
      const name = ['title', 'name', 'goal'].map((k) => textAt(value, `${at}/${k}`)).find(Boolean);
      const entry = words.edit.entries[list] ?? words.fields[list] ?? list;
      const n = Number(key) + 1;
      said.push(name === undefined ? words.edit.entry(entry, n) : words.edit.named(entry, name));
    } else if (words.edit.entries[key] === undefined || at === path) {
      said.push(words.fields[key]?.split(/[:;]/u)[0] ?? key);
    }
  }
  return said.join(', ');
};

/** The task, the ladder or the part that a place of the file belongs to, in words. */
export const ownerWords = (value: unknown, path: string): string =>
  placeWords(
    value,
    /^\/sections\/\d+\/tasks\/\d+|^\/ladders\/\d+|^\/[a-z]+/u.exec(path)?.[0] ?? path,
  );

/** How a part is called: by its title where it has one. */
export const partName = (value: unknown, path: string): string => {
  if (path === '/') return words.parts.about;
  const title = textAt(value, `${path}/title`);
  const n = Number(path.slice(path.lastIndexOf('/') + 1)) + 1;
  if (path.includes('/tasks/')) {
    return words.parts.task(title || words.edit.entry(words.edit.entries['tasks'] ?? '', n));
  }
  if (path.startsWith('/sections/')) {
    const section = title || words.edit.entry(words.edit.entries['sections'] ?? '', n);
    return words.parts.section(textAt(value, `${path}/letter`), section);
  }
  return words.parts[path.slice(1) as 'scale'];
};

/** `begin` with the first number after `n` that gives an id which nothing bears yet. */
const freeId = (begin: string, n: number, taken: ReadonlySet<string>): string => {
  let at = n + 1;
  while (taken.has(`${begin}${String(at)}`)) at++;
  return `${begin}${String(at)}`;
};

/** What a list begins a new entry with. `n` is how many there are, `taken` the ids that stand anywhere in the file. */
export const freshEntry = (
  list: string,
  n: number,
  points: number,
  taken: ReadonlySet<string>,
): unknown => {
  // An id is the same in every language.
  const id = freeId(`new-${list.replace(/s$/u, '')}-`, n, taken);
  const task = {
    id,
    title: '',
    basis: 'relative',
    optional: false,
    state: '',
    does: '',
    anchors: Array.from({ length: points }, () => ''),
    critical: null,
    measures: [],
    tools: [],
    onVideo: 'partly',
    notApplicable: '',
    caution: '',
    weight: 1,
  };
  const limits = { rejectMin: null, rejectMax: null, warnMin: null, warnMax: null };
  const fresh: Record<string, unknown> = {
    states: { id, title: '' },
    tools: { id, title: '' },
    points: { value: n, word: '', meaning: '' },
    measures: {
      ...{ id: freeId('new_measure_', n, taken), name: '', symbol: '', unit: '', decimals: 1 },
      ...{ ...limits, better: 'lower', threshold: null, source: null },
    },
    tasks: task,
    sections: {
      id,
      letter: '',
      title: '',
      weight: 1,
      tasks: [{ ...task, id: freeId('new-task-', 0, taken) }],
    },
    ladders: { id, goal: '', rungs: [] },
    rungs: { task: '', capSeconds: null },
  };
  return fresh[list] ?? '';
};
