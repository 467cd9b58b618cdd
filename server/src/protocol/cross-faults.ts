import { pointer } from './json-places.ts';

/** A fault before its line and column are known. */
export interface RawFault {
  /** JSON pointer into the file. */
  path: string;
  fault: string;
  remedy: string;
}

type Item = Record<string, unknown>;

const isItem = (value: unknown): value is Item =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The entries of a list, what is no object standing for an empty one; none when there is no list. */
const itemsOf = (value: unknown): Item[] =>
  Array.isArray(value) ? value.map((one: unknown) => (isItem(one) ? one : {})) : [];

const textsOf = (value: unknown): string[] =>
  Array.isArray(value) ? value.filter((one): one is string => typeof one === 'string') : [];

const twice = (kind: string, list: string, items: readonly Item[], key = 'id'): RawFault[] =>
  twiceAt(
    kind,
    items.map((item, i) => ({ id: item[key], path: pointer(pointer(list, i), key) })),
  );

const twiceAt = (kind: string, places: readonly { id: unknown; path: string }[]): RawFault[] => {
  const seen = new Set<unknown>();
  return places.flatMap(({ id, path }) => {
    if (typeof id !== 'string') return [];
    if (!seen.has(id)) {
      seen.add(id);
      return [];
    }
    const fault = `the ${kind} "${id}" stands twice`;
    return [{ path, fault, remedy: 'Give each its own id.' }];
  });
};

/** Ids of a list, to look references up in; undefined when the list cannot be read, so that nothing is blamed for it. */
const known = (value: unknown): Set<unknown> | undefined =>
  Array.isArray(value) ? new Set(itemsOf(value).map((item) => item['id'])) : undefined;

const refer = (
  kind: string,
  ids: ReadonlySet<unknown> | undefined,
  id: unknown,
  path: string,
): RawFault[] =>
  typeof id !== 'string' || !ids || ids.has(id)
    ? []
    : [{ path, fault: `there is no ${kind} "${id}"`, remedy: `Add it, or name another ${kind}.` }];

const numbers = (items: readonly Item[]): number[] | undefined => {
  const all = items.map((item) => item['weight']);
  return all.every((n): n is number => typeof n === 'number') ? all : undefined;
};

const weightFaults = (sections: readonly Item[]): RawFault[] => {
  const faults: RawFault[] = [];
  const needed = 'Give one a weight.';
  sections.forEach((section, i) => {
    const weights = numbers(itemsOf(section['tasks']));
    const counts = typeof section['weight'] === 'number' && section['weight'] > 0;
    // Its figure would divide by zero.
    if (counts && weights && weights.length > 0 && weights.every((w) => w === 0)) {
      const fault = 'the task weights of this section add up to nothing';
      faults.push({ path: `/sections/${String(i)}/tasks`, fault, remedy: needed });
    }
  });
  const total = numbers(sections)?.reduce((sum, w) => sum + w, 0) ?? 1;
  if (sections.length > 0 && total <= 0) {
    const fault = 'the section weights add up to nothing';
    faults.push({ path: '/sections', fault, remedy: needed });
  } else if (total > 1_000_000) {
    const fault = 'the section weights add up to more than 1000000';
    faults.push({ path: '/sections', fault, remedy: 'Write smaller ones.' });
  }
  return faults;
};

/** The points that a yes and a no stand for are points of the scale, the yes on the better side. */
const endorsementFaults = (rule: unknown, scale: unknown): RawFault[] => {
  if (!isItem(rule) || !isItem(scale)) return [];
  const { min, max, better } = scale;
  const { content, notContent } = rule;
  if (typeof min !== 'number' || typeof max !== 'number') return [];
  const outside = (['content', 'notContent'] as const).flatMap((key) => {
    const point = rule[key];
    if (typeof point !== 'number' || (point >= min && point <= max)) return [];
    const remedy = `Write one from ${String(min)} to ${String(max)}.`;
    return [{ path: `/endorsement/${key}`, fault: 'is no point of the scale', remedy }];
  });
  if (typeof content !== 'number' || typeof notContent !== 'number') return outside;
  const inOrder = better === 'higher' ? content > notContent : content < notContent;
  if (inOrder || (better !== 'higher' && better !== 'lower')) return outside;
  const fault = 'being content does not stand for a better point than not being content';
  return [...outside, { path: '/endorsement', fault, remedy: 'Exchange the two points.' }];
};

/** What tasks refer to. */
interface Named {
  states: ReadonlySet<unknown> | undefined;
  tools: ReadonlySet<unknown> | undefined;
  measures: ReadonlySet<unknown> | undefined;
  points: unknown;
}

const taskFaults = (named: Named, task: Item, at: string): RawFault[] => {
  const list = (key: 'tools' | 'measures', kind: string): RawFault[] =>
    textsOf(task[key]).flatMap((id) => refer(kind, named[key], id, `${at}/${key}`));
  const { anchors, state } = task;
  const { points } = named;
  const anchorFaults =
    Array.isArray(anchors) && Array.isArray(points) && anchors.length !== points.length
      ? [
          {
            path: `${at}/anchors`,
            fault: `${String(anchors.length)} anchors for ${String(points.length)} points`,
            remedy: 'Write one sentence for each point, from the lowest to the highest.',
          },
        ]
      : [];
  return [
    ...refer('state', named.states, state, `${at}/state`),
    ...list('tools', 'tool'),
    ...list('measures', 'measure'),
    ...anchorFaults,
  ];
};

/**
 * Faults that only the whole file shows: ids used twice or not at all, anchors that miss a point, weights that add up to
 * nothing. Takes any value, also one with faults of shape: what cannot be read is passed over, so that both kinds of
 * fault are found in one run and none is named only because of another.
 */
export const crossFaults = (value: unknown): RawFault[] => {
  const p = isItem(value) ? value : {};
  const sections = itemsOf(p['sections']);
  const tasks = sections.flatMap((section, i) =>
    itemsOf(section['tasks']).map((task, j) => ({
      task,
      at: `/sections/${String(i)}/tasks/${String(j)}`,
    })),
  );
  const ids = new Set(tasks.map(({ task }) => task['id']));
  const named: Named = {
    states: known(p['states']),
    tools: known(p['tools']),
    measures: known(p['measures']),
    points: isItem(p['scale']) ? p['scale']['points'] : undefined,
  };
  return [
    ...twice('section', '/sections', sections),
    ...twice('section letter', '/sections', sections, 'letter'),
    ...twiceAt(
      'task',
      tasks.map(({ task, at }) => ({ id: task['id'], path: `${at}/id` })),
    ),
    ...twice('measure', '/measures', itemsOf(p['measures'])),
    ...twice('tool', '/tools', itemsOf(p['tools'])),
    ...twice('equipment state', '/states', itemsOf(p['states'])),
    ...tasks.flatMap(({ task, at }) => taskFaults(named, task, at)),
    ...itemsOf(p['ladders']).flatMap((ladder, i) =>
      itemsOf(ladder['rungs']).flatMap((rung, j) =>
        refer('task', ids, rung['task'], `/ladders/${String(i)}/rungs/${String(j)}/task`),
      ),
    ),
    ...textsOf(isItem(p['rest']) ? p['rest']['tasks'] : undefined).flatMap((id, i) =>
      refer('task', ids, id, `/rest/tasks/${String(i)}`),
    ),
    ...endorsementFaults(p['endorsement'], p['scale']),
    ...weightFaults(sections),
  ];
};
