import {
  CATALOGUE_PAGE,
  FACETS,
  type CatalogueAnswer,
  type CatalogueQuery,
  type CatalogueRow,
  type Facet,
} from '@unhindered/shared-types';
import { folded } from './piece.ts';

/** A row with what searching needs, made once. */
export interface Indexed<Row extends CatalogueRow = CatalogueRow> {
  row: Row;
  /** Folded text of everything that a word may be found in. */
  text: string;
  facets: Record<Facet, string>;
  composite: number | undefined;
}

const facetsOf = (row: CatalogueRow): Record<Facet, string> => ({
  sport: row.specimen.sport,
  kind: row.specimen.kind,
  maker: row.specimen.maker,
  protocol: `${row.protocol.id} ${row.protocol.version}`,
  verdict: row.verdict.kind,
  state: row.state.kind,
});

/** Makes a row ready to be searched. */
export const indexed = <Row extends CatalogueRow>(row: Row): Indexed<Row> => ({
  row,
  text: folded([row.title, ...Object.values(row.specimen), row.protocol.title].join(' ')),
  facets: facetsOf(row),
  composite: 'value' in row.composite ? Number(row.composite.value) : undefined,
});

/** Distance from the good end of the row's own scale; rows without a composite come last. */
const hindrance = ({ row, composite }: Indexed): number => {
  if (composite === undefined) return Number.POSITIVE_INFINITY;
  const { min, max, better } = row.scale;
  return (better === 'lower' ? composite - min : max - composite) / (max - min);
};

const newest = (a: Indexed, b: Indexed): number => (a.row.lockedAt < b.row.lockedAt ? 1 : -1);
const byMaker = (a: Indexed, b: Indexed): number =>
  folded(`${a.row.specimen.maker} ${a.row.specimen.model}`) <
  folded(`${b.row.specimen.maker} ${b.row.specimen.model}`)
    ? -1
    : 1;
const byHindrance =
  (sign: 1 | -1) =>
  (a: Indexed, b: Indexed): number => {
    const [x, y] = [hindrance(a), hindrance(b)];
    if (Number.isFinite(x) && Number.isFinite(y)) return sign * (x - y);
    return x === y ? 0 : Number.isFinite(x) ? -1 : 1;
  };

const ORDERS: Record<NonNullable<CatalogueQuery['sort']>, (a: Indexed, b: Indexed) => number> = {
  newest,
  oldest: (a, b) => -newest(a, b),
  gentlest: byHindrance(1),
  harshest: byHindrance(-1),
  maker: byMaker,
};

/** The filters that a row does not pass: none, one (then it counts in that filter's choices), or more. */
const failing = (query: CatalogueQuery, entry: Indexed): Facet[] =>
  FACETS.filter((f) => query[f] !== undefined && query[f] !== '' && query[f] !== entry.facets[f]);

const within = (query: CatalogueQuery, { row }: Indexed): boolean => {
  const day = row.lockedAt.slice(0, 10);
  return (
    (query.from === undefined || day >= query.from) && (query.to === undefined || day <= query.to)
  );
};

/**
 * Rows that hold every word and pass every filter, one page of them, with what each filter would still find.
 * One pass over all rows; sorting is of the rows found.
 */
export const searchCatalogue = (
  all: readonly Indexed[],
  query: CatalogueQuery,
): CatalogueAnswer => {
  const words = folded(query.q ?? '')
    .split(' ')
    .filter(Boolean);
  const found: Indexed[] = [];
  const counts = new Map<Facet, Map<string, number>>(FACETS.map((f) => [f, new Map()]));
  for (const entry of all) {
    if (!within(query, entry) || !words.every((w) => entry.text.includes(w))) continue;
    const failed = failing(query, entry);
    if (failed.length === 0) found.push(entry);
    for (const facet of FACETS) {
      if (failed.some((f) => f !== facet)) continue;
      const value = entry.facets[facet];
      const of = counts.get(facet);
      of?.set(value, (of.get(value) ?? 0) + 1);
    }
  }
  const ordered = found.toSorted(ORDERS[query.sort ?? 'newest']);
  const pages = Math.max(1, Math.ceil(ordered.length / CATALOGUE_PAGE));
  const page = Math.min(query.page ?? 1, pages);
  const start = (page - 1) * CATALOGUE_PAGE;
  const choices = (facet: Facet) =>
    [...(counts.get(facet) ?? [])]
      .map(([value, count]) => ({ value, count }))
      .toSorted((a, b) => b.count - a.count || (a.value < b.value ? -1 : 1));
  return {
    rows: ordered.slice(start, start + CATALOGUE_PAGE).map((e) => e.row),
    total: ordered.length,
    of: all.length,
    page,
    pages,
    facets: Object.fromEntries(FACETS.map((f) => [f, choices(f)])) as CatalogueAnswer['facets'],
  };
};
