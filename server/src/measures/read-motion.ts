import {
  columnsNeeded,
  numberOf,
  type CsvRow,
  type MotionMapping,
  type MotionRead,
  type OrientationColumns,
} from '@unhindered/shared-types';
import { headMotion } from './head-motion.ts';
import { readOrientation } from './orientation-columns.ts';
import type { Rotation } from './rotation.ts';
import { numbersOf } from './series-cells.ts';
import { seriesFaults, type AddFault } from './series-fault.ts';
import { MAX_SERIES_ROWS, seriesTable } from './series-table.ts';

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

/** Seconds of each row: rising, or by the declared rate. */
const rowTimes = (mapping: MotionMapping, add: AddFault) => {
  // No gap is longer than the longest series: behind it stands another unit, or another recording.
  const longest = MAX_SERIES_ROWS / mapping.rate;
  let last = -Infinity;
  let rows = 0;
  return (row: CsvRow, places: ReadonlyMap<string, number>): number | undefined => {
    rows += 1;
    if (!mapping.time) return (rows - 1) / mapping.rate;
    const { column, unit } = mapping.time;
    const read = numbersOf(row, [column], places, mapping.decimal, add);
    if (read === undefined) return undefined;
    if (read === 'blank') {
      add(row.line, column, 'the time is missing', 'Give every row its time.');
      return undefined;
    }
    const seconds = (read[0] ?? 0) * (unit === 'ms' ? 0.001 : 1);
    if (seconds <= last) {
      add(row.line, column, 'the time does not rise', 'Sort the rows by time, each time once.');
      return undefined;
    }
    const jump = seconds - last;
    last = seconds;
    if (jump < longest || jump === Infinity) return seconds;
    const fault = `the time jumps by ${jump.toPrecision(6)} s`;
    add(row.line, column, fault, 'Check the unit of the column, or cut the file to the trial.');
    return undefined;
  };
};

/** The orientation in a row: `lost` where a cell is blank, undefined (and a fault) where it is not understood. */
const rowOrientation =
  (mapping: MotionMapping, add: AddFault, lose: AddFault) =>
  (
    row: CsvRow,
    places: ReadonlyMap<string, number>,
    of: OrientationColumns,
  ): Rotation | 'lost' | undefined => {
    const numbers = numbersOf(row, of.columns, places, mapping.decimal, add);
    if (numbers === undefined) return undefined;
    if (numbers === 'blank') {
      const blank = of.columns.find(
        (name) => numberOf(row.cells[places.get(name) ?? -1] ?? '', mapping.decimal) === 'blank',
      );
      lose(row.line, blank ?? '', 'there is no value: a lost sample', 'Leave it, or record again.');
      return 'lost';
    }
    const read = readOrientation(of, numbers);
    if (read.ok) return read.rotation;
    add(row.line, of.columns.join(' '), read.fault, read.remedy);
    return undefined;
  };

/**
 * Reads a motion file piece by piece: `push` text as it comes, `end` for the figures. A blank orientation is a lost
 * sample; anything else that is not understood is a fault by line and column, and with faults there are no figures,
 * so that nothing is dropped unseen. Throws RangeError when the mapping cannot be.
 */
export const readMotion = (mapping: MotionMapping) => {
  const wrong = mappingFaults(mapping);
  if (wrong.length > 0) throw new RangeError(wrong.join('; '));
  const motion = headMotion(mapping);
  const lost = seriesFaults();
  const names = [
    ...(mapping.time ? [mapping.time.column] : []),
    ...mapping.head.columns,
    ...(mapping.torso?.columns ?? []),
  ];
  const table = seriesTable(mapping.delimiter, names, (add) => {
    const timeOf = rowTimes(mapping, add);
    const orientationOf = rowOrientation(mapping, add, lost.add);
    return (row, places) => {
      const seconds = timeOf(row, places);
      const head = orientationOf(row, places, mapping.head);
      const torso = mapping.torso ? orientationOf(row, places, mapping.torso) : null;
      if (seconds === undefined || head === undefined || torso === undefined) return;
      if (head === 'lost' || torso === 'lost') motion.miss(seconds);
      else motion.add({ seconds, head, torso: torso ?? undefined });
    };
  });
  const end = (): MotionRead => {
    const faults = table.end();
    const rows = table.rows();
    return faults.total > 0
      ? { ok: false, rows, faults }
      : { ok: true, rows, motion: motion.end(), lost: lost.faults };
  };
  return { push: table.push, rows: table.rows, end };
};
