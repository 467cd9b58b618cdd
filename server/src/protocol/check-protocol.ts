import { protocol, protocolTasks, type Protocol } from '@unhindered/shared-types';
import * as v from 'valibot';
import { MAX_DEPTH, textDepth } from '../audit/canonical-json.ts';
import { criterionFaults } from './criterion-faults.ts';
import { jsonPlaces } from './json-places.ts';

/** One fault of a protocol file: where, what, and what to do about it. */
export interface ProtocolFault {
  /** Path in the file, and line and column where they are known. */
  place: string;
  fault: string;
  remedy: string;
}

export type CheckedProtocol =
  { ok: true; protocol: Protocol } | { ok: false; faults: ProtocolFault[] };

/** Largest protocol file, bytes. */
export const PROTOCOL_LIMIT = 1_000_000;

const fault = (place: string, what: string, remedy: string): ProtocolFault => ({
  place,
  fault: what,
  remedy,
});

const repeats = (ids: readonly string[]): string[] => ids.filter((id, i) => ids.indexOf(id) !== i);

/** Faults that only the whole file shows: ids used twice or not at all, anchors that miss a point. */
const crossFaults = (p: Protocol): ProtocolFault[] => {
  const faults: ProtocolFault[] = [];
  const twice = (kind: string, place: string, ids: readonly string[]): void => {
    for (const id of repeats(ids)) {
      faults.push(fault(place, `the ${kind} "${id}" stands twice`, 'Give each its own id.'));
    }
  };
  const tasks = protocolTasks(p);
  twice(
    'section',
    '/sections',
    p.sections.map((s) => s.id),
  );
  twice(
    'section letter',
    '/sections',
    p.sections.map((s) => s.letter),
  );
  twice(
    'task',
    '/sections',
    tasks.map((t) => t.id),
  );
  twice(
    'measure',
    '/measures',
    p.measures.map((m) => m.id),
  );
  twice(
    'tool',
    '/tools',
    p.tools.map((t) => t.id),
  );
  twice(
    'equipment state',
    '/states',
    p.states.map((s) => s.id),
  );
  const known = {
    state: new Set(p.states.map((s) => s.id)),
    tool: new Set(p.tools.map((t) => t.id)),
    measure: new Set(p.measures.map((m) => m.id)),
    task: new Set(tasks.map((t) => t.id)),
  };
  const refer = (kind: keyof typeof known, place: string, id: string): void => {
    if (!known[kind].has(id)) {
      faults.push(fault(place, `there is no ${kind} "${id}"`, `Add it, or name another ${kind}.`));
    }
  };
  p.sections.forEach((s, i) => {
    // Its figure would divide by zero.
    if (s.weight > 0 && s.tasks.every((t) => t.weight === 0)) {
      const place = `/sections/${String(i)}/tasks`;
      faults.push(
        fault(place, 'the task weights of this section add up to nothing', 'Give one a weight.'),
      );
    }
    s.tasks.forEach((t, j) => {
      const at = `/sections/${String(i)}/tasks/${String(j)}`;
      refer('state', `${at}/state`, t.state);
      for (const id of t.tools) refer('tool', `${at}/tools`, id);
      for (const id of t.measures) refer('measure', `${at}/measures`, id);
      const points = p.scale.points.length;
      if (t.anchors.length !== points) {
        faults.push(
          fault(
            `${at}/anchors`,
            `${String(t.anchors.length)} anchors for ${String(points)} points`,
            'Write one sentence for each point, from the lowest to the highest.',
          ),
        );
      }
    });
  });
  for (const { task, place, fault: what, remedy } of criterionFaults(p)) {
    const i = p.sections.findIndex((s) => s.tasks.some((t) => t.id === task));
    const j = p.sections[i]?.tasks.findIndex((t) => t.id === task) ?? -1;
    faults.push(fault(`/sections/${String(i)}/tasks/${String(j)}/${place}`, what, remedy));
  }
  p.ladders.forEach((ladder, i) => {
    for (const rung of ladder.rungs) refer('task', `/ladders/${String(i)}/rungs`, rung.task);
  });
  p.rest?.tasks.forEach((id, i) => refer('task', `/rest/tasks/${String(i)}`, id));
  const total = p.sections.reduce((sum, s) => sum + s.weight, 0);
  if (!(total > 0 && total <= 1_000_000)) {
    faults.push(fault('/sections', 'the section weights add up to nothing', 'Give one a weight.'));
  }
  return faults;
};

const readJson = (text: string): { value: unknown } | ProtocolFault => {
  if (Buffer.byteLength(text) > PROTOCOL_LIMIT) {
    return fault('the file', 'is larger than 1 MB', 'Shorten its texts.');
  }
  if (textDepth(text) > MAX_DEPTH) {
    return fault('the file', `nests deeper than ${String(MAX_DEPTH)}`, 'Flatten it.');
  }
  try {
    return { value: JSON.parse(text) as unknown };
  } catch (error) {
    const why = error instanceof Error ? error.message : 'not JSON';
    return fault('the file', `is not JSON: ${why}`, 'Mend the syntax at that place.');
  }
};

/**
 * PR-2: reads a protocol file and lists every fault with its place; never throws.
 * PR-3: no section that counts is without a task that counts.
 */
export const checkProtocol = (text: string): CheckedProtocol => {
  const read = readJson(text);
  if ('fault' in read) return { ok: false, faults: [read] };
  const { places, repeated } = jsonPlaces(text);
  const spot = (path: string): string => {
    const at = places.get(path);
    return at
      ? `${path || 'the file'} (line ${String(at.line)}, column ${String(at.column)})`
      : path;
  };
  const faults = repeated.map((path) =>
    fault(spot(path), 'the key stands twice in one object', 'Keep one of them.'),
  );
  const parsed = v.safeParse(protocol, read.value);
  if (!parsed.success) {
    for (const issue of parsed.issues) {
      const path = (issue.path ?? []).map((p) => `/${String(p.key)}`).join('');
      faults.push(
        fault(spot(path), issue.message, `Expected ${issue.expected ?? 'another value'}.`),
      );
    }
    return { ok: false, faults };
  }
  faults.push(...crossFaults(parsed.output).map((f) => ({ ...f, place: spot(f.place) })));
  return faults.length === 0 ? { ok: true, protocol: parsed.output } : { ok: false, faults };
};
