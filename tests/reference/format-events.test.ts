import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { evaluationEvent } from '../../shared-types/src/index.ts';
import { noPython } from '../support/two-verifiers.ts';

const prose = readFileSync(join(import.meta.dirname, '../../server/src/bundle/FORMAT.md'), 'utf8');
type Shape = { options: readonly unknown[] } | { entries: { type: { literal: string } } };
const typesOf = (shape: Shape): string[] =>
  'options' in shape
    ? shape.options.flatMap((o) => typesOf(o as Shape))
    : [shape.entries.type.literal];
const types = typesOf(evaluationEvent).toSorted();

/** The rows of the table whose first head cell is `type` and whose second is this. */
const rowsUnder = (second: string): string[][] => {
  const lines = prose.split('\n');
  const head = lines.findIndex((l) => new RegExp(`^\\| type +\\| ${second} `, 'u').test(l));
  const end = lines.findIndex((l, i) => i > head && !l.startsWith('|'));
  return lines.slice(head + 2, end).map((l) =>
    l
      .split(/(?<!\\)\|/u)
      .slice(1, -1)
      .map((c) => c.trim()),
  );
};
const namesIn = (cell: string): string[] => [...cell.matchAll(/`([a-z-]+)`/gu)].map((m) => m[1]!);

describe('AU-9: no event is missing from the prose', () => {
  test('its shape, and where it may stand', () => {
    for (const table of ['data', 'stages']) {
      const told = rowsUnder(table).flatMap(([first = '']) => namesIn(first));
      expect(told.toSorted(), table).toEqual(types);
    }
  });

  test.skipIf(noPython)('the second verifier reads each as the prose says it', () => {
    const script = `
import json, sys
from second_verifier_order import ORDER
from second_verifier_reading import DATA
print(json.dumps([sorted(DATA), {k: [s, r, after] for k, (s, r, after) in ORDER.items()}]))`;
    const cwd = join(import.meta.dirname, '../support');
    const run = spawnSync('python3', ['-c', script], { cwd, encoding: 'utf8' });
    expect(run.stderr).toBe('');
    const [shapes, order] = JSON.parse(run.stdout) as [
      string[],
      Record<string, [string[], string[] | null, string | null]>,
    ];
    expect(shapes).toEqual(types);
    for (const [first = '', stages = '', roles = '', after = ''] of rowsUnder('stages')) {
      for (const type of namesIn(first)) {
        const [where, who, next] = order[type] ?? [[], [], null];
        expect(where.toSorted(), type).toEqual(stages.split(', ').toSorted());
        expect(who?.toSorted() ?? ['anybody'], type).toEqual(roles.split(', ').toSorted());
        expect(next ?? '', type).toBe(after);
      }
    }
  });
});
