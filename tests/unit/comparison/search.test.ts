import { describe, expect, test } from 'vitest';
import { indexed, searchCatalogue } from '../../../server/src/comparison/search.ts';
import type { CatalogueQuery } from '../../../shared-types/src/index.ts';
import { piece, WITHDRAWN } from '../../support/piece.ts';

const row = (id: string, more: Parameters<typeof piece>[1] = {}) => indexed(piece(id, more));
const ROWS = [
  row('a', {
    title: 'Herón 3, large',
    composite: { value: '0.9' },
    lockedAt: '2024-10-05T23:59:59.999Z',
  }),
  row('b', {
    specimen: { maker: 'Ottersby', kind: 'pads' },
    composite: { value: '1.7' },
    lockedAt: '2025-03-01T00:00:00.000Z',
  }),
  row('c', {
    specimen: { sport: 'lacrosse', maker: 'Brackenholt' },
    composite: { value: '2.3' },
    verdict: { kind: 'care-was-blocked', tasks: ['t'] },
    lockedAt: '2025-11-02T12:00:00.000Z',
  }),
  row('d', {
    specimen: { maker: 'Ottersby' },
    composite: { undefinedBecause: 'no rated task' },
    lockedAt: '2026-01-01T12:00:00.000Z',
    state: WITHDRAWN,
  }),
];
const ids = (query: CatalogueQuery): string[] =>
  searchCatalogue(ROWS, query).rows.map((r) => r.evaluation);

describe('searching', () => {
  test.each<[string, CatalogueQuery, string[]]>([
    ['nothing asked: all, newest first', {}, ['d', 'c', 'b', 'a']],
    ['words are found without case and accents', { q: 'HERON large' }, ['a']],
    ['every word must be found', { q: 'ottersby lacrosse' }, []],
    ['part of a word is enough', { q: 'otters' }, ['d', 'b']],
    ['a filter', { maker: 'Ottersby' }, ['d', 'b']],
    ['filters together', { maker: 'Ottersby', kind: 'pads' }, ['b']],
    ['verdict', { verdict: 'care-was-blocked' }, ['c']],
    ['state', { state: 'withdrawn' }, ['d']],
    ['protocol version', { protocol: 'p 2.0.0' }, []],
    ['both days are included', { from: '2024-10-05', to: '2025-03-01' }, ['b', 'a']],
    ['least hindrance first, without a composite last', { sort: 'gentlest' }, ['a', 'b', 'c', 'd']],
    ['most hindrance first, without a composite last', { sort: 'harshest' }, ['c', 'b', 'a', 'd']],
    ['by maker and model', { sort: 'maker' }, ['c', 'a', 'b', 'd']],
    ['oldest first', { sort: 'oldest' }, ['a', 'b', 'c', 'd']],
  ])('%s', (_what, query, expected) => {
    expect(ids(query)).toEqual(expected);
  });

  test('a choice counts what it would find with the other filters as they are', () => {
    const { facets, total, of } = searchCatalogue(ROWS, { maker: 'Ottersby' });
    expect([total, of]).toEqual([2, 4]);
    expect(facets.maker).toEqual([
      { value: 'Ottersby', count: 2 },
      { value: 'Brackenholt', count: 1 },
      { value: 'Larkmoor', count: 1 },
    ]);
    expect(facets.kind).toEqual([
      { value: 'helmet', count: 1 },
      { value: 'pads', count: 1 },
    ]);
    expect(facets.state).toEqual([
      { value: 'current', count: 1 },
      { value: 'withdrawn', count: 1 },
    ]);
  });

  test('answers come by the page; a page beyond the end is the last', () => {
    const many = Array.from({ length: 120 }, (_, i) =>
      row(`e${String(i).padStart(3, '0')}`, {
        lockedAt: new Date(Date.UTC(2026, 0, 1) + i * 1000).toISOString(),
      }),
    );
    const second = searchCatalogue(many, { page: 2, sort: 'oldest' });
    expect([second.rows.length, second.page, second.pages, second.total]).toEqual([50, 2, 3, 120]);
    expect(second.rows[0]?.evaluation).toBe('e050');
    const last = searchCatalogue(many, { page: 99 });
    expect([last.page, last.rows.length]).toEqual([3, 20]);
  });
});
