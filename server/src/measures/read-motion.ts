import { csvRows, type CsvRow } from './csv-rows.ts';
import { headMotion, type HeadMotion, type MotionPlan } from './head-motion.ts';
import { columnsNeeded, readOrientation, type OrientationColumns } from './orientation-columns.ts';
import type { Rotation } from './rotation.ts';
import { columnPlaces, numbersOf, type NumberStyle } from './series-cells.ts';
import { seriesFaults, type SeriesFaults } from './series-fault.ts';

/** How a motion file is read; kept with the figures. */
export interface MotionMapping extends MotionPlan, NumberStyle {
  /** Null when the rows stand at the declared rate without times. */
  time: { column: string; unit: 's' | 'ms' } | null;
  head: OrientationColumns;
  torso: OrientationColumns | null;
}

/** Most rows of a series: over half an hour at 100 a second. */
export const MAX_SERIES_ROWS = 200_000;

export type MotionRead =
  | { ok: true; rows: number; motion: HeadMotion }
  | { ok: false; rows: number; faults: SeriesFaults };

/** Faults of the mapping itself, before a row is read. */
const mappingFaults = (mapping: MotionMapping): string[] => [
  ...(mapping.rate > 0 ? [] : ['the rate must be above zero']),
  ...(mapping.delimiter === ',' && mapping.decimal === ','
    ? ['a decimal comma cannot stand beside a comma between cells']
    : []),
  ...[mapping.head, mapping.torso].flatMap((of) =>
    of && of.columns.length !== columnsNeeded(of)
      ? [`${of.kind} takes ${String(columnsNeeded(of))} columns`]
      : [],
  ),
];

/**
 * Reads a motion file piece by piece: `push` text as it comes, `end` for the figures. A blank orientation is a lost
 * sample; anything else that is not understood is a fault by line and column, and with faults there are no figures,
 * so that nothing is dropped unseen. Throws RangeError when the mapping cannot be.
 */
export const readMotion = (mapping: MotionMapping) => {
  const wrong = mappingFaults(mapping);
  if (wrong.length > 0) throw new RangeError(wrong.join('; '));
  const { add, faults } = seriesFaults();
  const motion = headMotion(mapping);
  const names = [
    ...(mapping.time ? [mapping.time.column] : []),
    ...mapping.head.columns,
    ...(mapping.torso?.columns ?? []),
  ];
  let header: string[] | undefined;
  let places = new Map<string, number>();
  let rows = 0;
  let last = -Infinity;

  const timeOf = (row: CsvRow): number | undefined => {
    if (!mapping.time) return (rows - 1) / mapping.rate;
    const { column, unit } = mapping.time;
    const read = numbersOf(row, [column], places, mapping.decimal, add);
    if (read === undefined) return undefined;
    if (read === 'blank') {
      add(row.line, column, 'the time is missing', 'Give every row its time.');
      return undefined;
    }
    const seconds = (read[0] ?? 0) * (unit === 'ms' ? 0.001 : 1);
    if (seconds > last) {
      last = seconds;
      return seconds;
    }
    add(row.line, column, 'the time does not rise', 'Sort the rows by time, each time once.');
    return undefined;
  };

  const orientationOf = (row: CsvRow, of: OrientationColumns): Rotation | 'lost' | undefined => {
    const numbers = numbersOf(row, of.columns, places, mapping.decimal, add);
    if (numbers === undefined) return undefined;
    if (numbers === 'blank') return 'lost';
    const read = readOrientation(of, numbers);
    if (read.ok) return read.rotation;
    add(row.line, of.columns.join(' '), read.fault, read.remedy);
    return undefined;
  };

  const sample = (row: CsvRow): void => {
    const seconds = timeOf(row);
    const head = orientationOf(row, mapping.head);
    const torso = mapping.torso ? orientationOf(row, mapping.torso) : null;
    if (seconds === undefined || head === undefined || torso === undefined) return;
    if (head === 'lost' || torso === 'lost') motion.miss(seconds);
    else motion.add({ seconds, head, torso: torso ?? undefined });
  };

  const onRow = (row: CsvRow): void => {
    if (!header) {
      header = row.cells;
      places = columnPlaces(header, names, add);
      return;
    }
    rows += 1;
    if (rows > MAX_SERIES_ROWS) {
      if (rows === MAX_SERIES_ROWS + 1) {
        const fault = `more than ${String(MAX_SERIES_ROWS)} rows`;
        add(row.line, '', fault, 'Cut the file to the trial, or lower its rate.');
      }
    } else if (row.cells.length !== header.length) {
      const fault = `${String(row.cells.length)} cells, the first line has ${String(header.length)}`;
      add(row.line, '', fault, 'Quote a cell that holds the delimiter.');
    } else if (places.size === new Set(names).size) sample(row);
  };

  const csv = csvRows(mapping.delimiter, onRow);
  const end = (): MotionRead => {
    const { unclosed } = csv.end();
    if (unclosed !== undefined) {
      add(unclosed, '', 'a quote is opened and never closed', 'Close it, or double it in a cell.');
    }
    if (rows === 0)
      add(1, '', 'there is no row', 'Begin with the names of the columns, then the rows.');
    if (faults.total > 0) return { ok: false, rows, faults };
    return { ok: true, rows, motion: motion.end() };
  };
  return { push: csv.push, rows: () => rows, end };
};
