import type { Protocol } from '@unhindered/shared-types';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import standard from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { diffProtocols } from '../../../server/src/protocol/diff-protocols.ts';

const original = standard as Protocol;
const changed = (edit: (p: Protocol) => void): Protocol => {
  const copy = structuredClone(original);
  edit(copy);
  return copy;
};
const first = original.sections[0]!;
const task = first.tasks[0]!;
const at = `section "${first.id}", task "${task.id}"`;

/** The way to every value of a file that holds no other values. */
const leaves = (value: unknown, way: (string | number)[] = []): (string | number)[][] =>
  typeof value === 'object' && value !== null
    ? Object.entries(value).flatMap(([k, v]) =>
        leaves(v, [...way, Array.isArray(value) ? Number(k) : k]),
      )
    : [way];

describe('PR-4 differences between protocol versions', () => {
  it('PR-4: a version and itself have none, whatever the order of keys', () => {
    const turned = Object.fromEntries(Object.entries(original).reverse()) as Protocol;
    turned.gate = Object.fromEntries(Object.entries(original.gate).reverse()) as Protocol['gate'];
    expect(diffProtocols(original, turned)).toEqual([]);
  });

  it('PR-4: names a weight, an anchor and a caution with their effect', () => {
    const newer = changed((p) => {
      const t = p.sections[0]!.tasks[0]!;
      t.weight += 1;
      t.anchors[1] = 'Another sentence.';
      p.cautions.scope = 'Other words.';
    });
    expect(diffProtocols(original, newer)).toEqual([
      {
        place: '/cautions/scope',
        words: `cautions, scope changed from ${JSON.stringify(original.cautions.scope)} to "Other words."`,
        effect: 'none',
      },
      {
        place: '/sections/0/tasks/0/anchors/1',
        words: `${at}, anchors 2 changed from ${JSON.stringify(task.anchors[1])} to "Another sentence."`,
        effect: 'ratings',
      },
      {
        place: '/sections/0/tasks/0/weight',
        words: `${at}, weight changed from ${String(task.weight)} to ${String(task.weight + 1)}`,
        effect: 'figures',
      },
    ]);
  });

  it('PR-4: names what endorsements weigh, which changes figures and no rating', () => {
    const rule = { weight: 4, content: 0, notContent: 5 };
    const weighing = changed((p) => (p.endorsement = rule));
    expect(diffProtocols(original, weighing)).toEqual([
      {
        place: '/endorsement',
        words: `endorsement changed from absent to ${JSON.stringify(rule)}`,
        effect: 'figures',
      },
    ]);
    const more = changed((p) => (p.endorsement = { ...rule, weight: 8 }));
    expect(diffProtocols(weighing, more)).toEqual([
      {
        place: '/endorsement/weight',
        words: 'endorsement, weight changed from 4 to 8',
        effect: 'figures',
      },
    ]);
  });

  it('PR-4: names a task taken away, added and moved, and not its neighbours', () => {
    const without = changed((p) => p.sections[0]!.tasks.shift());
    expect(diffProtocols(original, without)).toEqual([
      { place: '/sections/0/tasks/0', words: `${at} was taken away`, effect: 'ratings' },
    ]);
    expect(diffProtocols(without, original)).toEqual([
      { place: '/sections/0/tasks/0', words: `${at} was added`, effect: 'ratings' },
    ]);
    const moved = changed((p) => p.sections[0]!.tasks.reverse());
    expect(diffProtocols(original, moved)).toEqual([
      {
        place: '/sections/0/tasks',
        words: `section "${first.id}", tasks stand in another order`,
        effect: 'none',
      },
    ]);
  });

  it('PR-13: an id that was renamed is said once, with what else changed there and nothing of what follows it', () => {
    const renamed = (id: string): Protocol =>
      JSON.parse(JSON.stringify(original).replaceAll('"shears"', `"${id}"`)) as Protocol;
    const words =
      'tool "shears" is called "scissors" now: the same one, to be looked for by the new id';
    const line = { place: '/tools/0/id', words, effect: 'none' };
    expect(diffProtocols(original, renamed('scissors'))).toEqual([line]);
    const heavier = changed((p) => {
      const t = p.sections[0]!.tasks[0]!;
      t.id = 'stays-seated';
      t.weight += 1;
      p.sections[0]!.id = 'fit-and-seat';
    });
    expect(diffProtocols(original, heavier)).toEqual([
      {
        place: '/sections/0/id',
        words: `section "${first.id}" is called "fit-and-seat" now: the same one, to be looked for by the new id`,
        effect: 'none',
      },
      {
        place: '/sections/0/tasks/0/id',
        words: `task "${task.id}" is called "stays-seated" now: the same one, to be looked for by the new id`,
        effect: 'none',
      },
      {
        place: '/sections/0/tasks/0/weight',
        words: `section "fit-and-seat", task "stays-seated", weight changed from ${String(task.weight)} to ${String(task.weight + 1)}`,
        effect: 'figures',
      },
    ]);
  });

  it('PR-13: another id with other words, or two with the same words, is no renaming', () => {
    const rewritten = changed((p) => {
      p.sections[0]!.tasks[0]!.id = 'stays-seated';
      p.sections[0]!.tasks[0]!.does = 'Something else.';
    });
    const words = (p: Protocol, q: Protocol): string[] => diffProtocols(p, q).map((c) => c.words);
    expect(words(original, rewritten)).toEqual([
      `${at} was taken away`,
      `section "${first.id}", task "stays-seated" was added`,
    ]);
    const twins = (...ids: string[]): Protocol =>
      changed((p) => p.tools.push(...ids.map((id) => ({ id, title: 'Spare' }))));
    expect(words(twins('a', 'b'), twins('c', 'd'))).toEqual([
      'tool "a" was taken away',
      'tool "b" was taken away',
      'tool "c" was added',
      'tool "d" was added',
    ]);
  });

  it('PR-4: any one value changed anywhere is told', () => {
    fc.assert(
      fc.property(fc.constantFrom(...leaves(original)), (way) => {
        const newer = changed((p) => {
          const owner = way
            .slice(0, -1)
            .reduce<Record<string | number, unknown>>(
              (o, k) => o[k] as Record<string | number, unknown>,
              p as unknown as Record<string | number, unknown>,
            );
          owner[way.at(-1)!] = '(changed)';
        });
        expect(diffProtocols(original, newer).length).toBeGreaterThan(0);
      }),
      { numRuns: 300 },
    );
  });
});
