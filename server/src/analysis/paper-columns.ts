import type { ListFault } from './rating-list.ts';

/** Columns that say something of a rating. `step` is another name of `rating`, as the open data has it. */
const READ = [
  'task',
  'reviewer',
  'rating',
  'round',
  'answer',
  'easier',
  'reason',
  'critical',
  'note',
  'rated_at',
  'stands',
] as const;

/** Columns of lists and of the open data that an import does not need: protocol and log have their own. */
const NOT_NEEDED = [
  'section',
  'weight',
  'trial',
  'evaluation',
  'event',
  'recorded_at',
  'seat',
  'changed',
  'source',
  'counted',
  'invented',
];

export type PaperColumn = (typeof READ)[number];
/** Where each column that is read stands in a row. */
export type PaperPlaces = ReadonlyMap<PaperColumn, number>;

const read = (name: string): PaperColumn | undefined => {
  const plain = name === 'step' ? 'rating' : name;
  return READ.find((c) => c === plain);
};

/** Finds the columns of a head line, capitals and blanks ignored; a column that is not known is a fault. */
export const paperColumns = (
  header: readonly string[],
): { places: PaperPlaces; ignored: string[]; faults: ListFault[] } => {
  const places = new Map<PaperColumn, number>();
  const ignored: string[] = [];
  const faults: ListFault[] = [];
  const fault = (column: string, what: string, remedy: string): void => {
    faults.push({ line: 1, column, fault: what, remedy });
  };
  header.forEach((raw, place) => {
    const name = raw.trim().toLowerCase();
    const column = read(name);
    if (column === undefined && NOT_NEEDED.includes(name)) ignored.push(name);
    else if (column === undefined) {
      const shown = raw.trim() || `number ${String(place + 1)}`;
      const known = `task, reviewer, rating, ${READ.slice(3).join(', ')}`;
      fault(shown, `unknown column in place ${String(place + 1)}`, `Known are ${known}.`);
    } else if (places.has(column)) {
      fault(name, 'the column stands twice', 'Keep one of them; step and rating are the same.');
    } else places.set(column, place);
  });
  for (const name of ['task', 'reviewer', 'rating'] as const) {
    if (!places.has(name)) fault(name, 'the column is missing', 'Add it to the first line.');
  }
  return { places, ignored, faults };
};
