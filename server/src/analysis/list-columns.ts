import type { ListFault } from './rating-list.ts';

const REQUIRED = ['task', 'reviewer', 'rating'] as const;
/** `invented` marks demonstration data in the open data; no figure looks at it. */
const OPTIONAL = ['section', 'weight', 'round', 'trial', 'invented'] as const;

export type ListColumn = (typeof REQUIRED)[number] | (typeof OPTIONAL)[number];

/** Where each known column stands in a row. */
export type ColumnPlaces = ReadonlyMap<ListColumn, number>;

const isColumn = (name: string): name is ListColumn =>
  [...REQUIRED, ...OPTIONAL].some((c) => c === name);

/**
 * Finds the columns of a header line, capitals and blanks ignored. Unknown columns are a fault, not silence: a
 * misspelt `weigth` would otherwise change the result unseen.
 */
export const listColumns = (
  header: readonly string[],
): { places: ColumnPlaces; faults: ListFault[] } => {
  const places = new Map<ListColumn, number>();
  const faults: ListFault[] = [];
  const fault = (column: string, what: string, remedy: string): void => {
    faults.push({ line: 1, column, fault: what, remedy });
  };
  const known = [...REQUIRED, ...OPTIONAL].join(', ');
  header.forEach((raw, place) => {
    const name = raw.trim().toLowerCase();
    if (!isColumn(name)) {
      const shown = raw.trim() || `number ${String(place + 1)}`;
      fault(shown, `unknown column in place ${String(place + 1)}`, `Known are ${known}.`);
    } else if (places.has(name)) {
      fault(name, 'the column stands twice', 'Keep one of them.');
    } else {
      places.set(name, place);
    }
  });
  for (const name of REQUIRED) {
    if (!places.has(name)) fault(name, 'the column is missing', 'Add it to the first line.');
  }
  return { places, faults };
};
