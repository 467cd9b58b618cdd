import { describe, expect, test } from 'vitest';
import standard from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import {
  idsOf,
  planRename,
  putAt,
  type Protocol,
  type RenamePlan,
} from '../../../shared-types/src/index.ts';

/** The shipped protocol with a rest rule of its own, so that every kind of reference stands in it. */
const original = (): Protocol => {
  const copy = structuredClone(standard) as Protocol;
  const tasks = copy.sections.flatMap((s) => s.tasks.map((t) => t.id));
  return { ...copy, rest: { minutes: 5, tasks: tasks.slice(0, 3) } };
};

const renamed = (p: Protocol, path: string, to: string): Protocol => {
  const copy = structuredClone(p);
  const plan = planRename(copy, path, to);
  if (!plan.ok) throw new Error(`${path} to ${to}: ${plan.why}`);
  for (const place of plan.places) expect(putAt(copy, place, to)).toBe(true);
  return copy;
};
const faults = (p: Protocol): string[] => {
  const checked = checkProtocol(JSON.stringify(p));
  return checked.ok ? [] : checked.faults.map((f) => `${f.path}: ${f.fault}`);
};
const pathOf = (p: Protocol, kind: string, id: string): string =>
  idsOf(p).find((place) => place.kind === kind && place.id === id)?.path ?? '';

describe('an id of a protocol file that is renamed', () => {
  test('PR-12: what refers to any id follows it, and goes back with it', () => {
    const p = original();
    expect(faults(p)).toEqual([]);
    const all = idsOf(p);
    expect(new Set(all.map(({ kind }) => kind)).size).toBe(6);
    for (const { kind, id, path } of all) {
      const once = renamed(p, path, 'quite-new');
      expect(faults(once), `${kind} ${id}`).toEqual([]);
      expect(renamed(once, path, id), `${kind} ${id}`).toEqual(p);
    }
  });

  test('PR-12: names a place for every kind of reference', () => {
    const p = original();
    const places = (kind: string, id: string): string[] => {
      const plan = planRename(p, pathOf(p, kind, id), 'quite-new');
      return plan.ok ? plan.places.map((at) => at.replace(/\d+/gu, '*')) : [];
    };
    const kinds = (kind: string, ids: readonly string[]): Set<string> =>
      new Set(ids.flatMap((id) => places(kind, id)));
    const ids = (kind: string): string[] =>
      idsOf(p).flatMap((place) => (place.kind === kind ? [place.id] : []));
    const task = '/sections/*/tasks/*';
    expect(kinds('states', ids('states'))).toEqual(new Set(['/states/*/id', `${task}/state`]));
    expect(kinds('tools', ids('tools'))).toEqual(new Set(['/tools/*/id', `${task}/tools/*`]));
    expect(kinds('tasks', ids('tasks'))).toEqual(
      new Set([`${task}/id`, '/ladders/*/rungs/*/task', '/rest/tasks/*']),
    );
    expect(kinds('measures', ids('measures'))).toEqual(
      new Set([
        '/measures/*/id',
        `${task}/measures/*`,
        `${task}/criterion/measure`,
        `${task}/criterion/of/*/measure`,
      ]),
    );
  });

  test('PR-12: an id that another entry of the kind bears is refused, with the place of that one', () => {
    const p = original();
    const [first, second] = idsOf(p).filter(({ kind }) => kind === 'tasks');
    const elsewhere = p.sections.at(-1)!.tasks.at(-1)!.id;
    expect(planRename(p, first!.path, second!.id)).toEqual({
      ok: false,
      why: 'taken',
      by: second!.path,
    });
    expect(planRename(p, first!.path, elsewhere)).toMatchObject({ ok: false, why: 'taken' });
    // A tool and a task may have the same id: nothing mistakes one for the other.
    expect(planRename(p, first!.path, p.tools[0]!.id)).toMatchObject({ ok: true });
  });

  test('PR-12: an id of another shape is refused; one left as it is changes nothing, whatever its shape', () => {
    const p = original();
    for (const bad of ['', 'Two words', '-a', 'a_b', 'ä', 'a'.repeat(65)]) {
      expect(planRename(p, '/tools/0/id', bad), bad).toEqual({ ok: false, why: 'shape' });
    }
    expect(planRename(p, '/measures/0/id', 't_New-1')).toMatchObject({ ok: true });
    expect(planRename({ tools: [{ id: 'A b' }] }, '/tools/0/id', 'A b')).toEqual({
      ok: true,
      from: 'A b',
      places: [],
      twin: false,
    });
  });

  test('PR-12: of two with one id the references stay with the other; an id that is missing is written', () => {
    const twins = {
      tools: [{ id: 'a' }, { id: 'a' }],
      sections: [{ tasks: [{ id: 't', tools: ['a'] }] }],
    };
    const expected: RenamePlan = { ok: true, from: 'a', places: ['/tools/1/id'], twin: true };
    expect(planRename(twins, '/tools/1/id', 'b')).toEqual(expected);
    expect(planRename({ tools: [{}] }, '/tools/0/id', 'b')).toMatchObject({
      places: ['/tools/0/id'],
    });
    expect(planRename({ tools: [{}, { id: 'b' }] }, '/tools/0/id', 'b')).toMatchObject({
      ok: false,
    });
  });

  test('PR-12: takes a file of any shape', () => {
    for (const value of [null, 1, [], { sections: 'x' }, { sections: [1, { tasks: {} }] }]) {
      expect(planRename(value, '/tools/0/id', 'b')).toMatchObject({ ok: true });
    }
  });
});
