import type { CsvRow, ManikinMapping, ManikinRead, Span } from '@unhindered/shared-types';
import { compressionFigures, type Compression } from './compressions.ts';
import { numbersOf, yesOf } from './series-cells.ts';
import type { AddFault } from './series-fault.ts';
import { seriesTable, type OnRow } from './series-table.ts';
import { thinSeries } from './thin-series.ts';
import { ventilationFigures, type Ventilation } from './ventilations.ts';

const MILLIMETRES = { mm: 1, cm: 10, in: 25.4 } as const;
const MILLILITRES = { ml: 1, l: 1000 } as const;

/** Cells of one row by what they hold; a fault for each that is not understood. */
const rowCells = (mapping: ManikinMapping, add: AddFault) => {
  const number = (
    row: CsvRow,
    places: ReadonlyMap<string, number>,
    of: { column: string; factor: number; most?: number } | null,
  ): number | undefined => {
    if (!of) return undefined;
    const read = numbersOf(row, [of.column], places, mapping.decimal, add);
    if (read === undefined || read === 'blank') return undefined;
    const value = (read[0] ?? 0) * of.factor;
    if (of.most !== undefined && !(value >= 0 && value <= of.most)) {
      const fault = `${String(value)} cannot be (0 to ${String(of.most)})`;
      add(row.line, of.column, fault, 'Check the unit of the column.');
    }
    return value;
  };
  const yes = (
    row: CsvRow,
    places: ReadonlyMap<string, number>,
    column: string | null,
  ): boolean | undefined => {
    if (column === null) return undefined;
    const cell = row.cells[places.get(column) ?? -1] ?? '';
    const read = yesOf(cell);
    if (read === undefined) {
      add(row.line, column, `"${cell}" is neither yes nor no`, 'Write yes, no, 1 or 0.');
    }
    return read === 'blank' ? undefined : read;
  };
  return { number, yes };
};

/** Breaths that a plot marks. */
const MAX_BREATHS = 500;

interface Events {
  compressions: Compression[];
  ventilations: Ventilation[];
}

/** Adds what a row says to the events of the file. */
const rowEvents =
  (mapping: ManikinMapping, events: Events) =>
  (add: AddFault): OnRow => {
    const { depth, volume, inspiration, time } = mapping;
    const { number, yes } = rowCells(mapping, add);
    const depthCell = depth && { column: depth.column, factor: MILLIMETRES[depth.unit], most: 100 };
    const volumeCell = volume && {
      column: volume.column,
      factor: MILLILITRES[volume.unit],
      most: 2500,
    };
    const breathCell = inspiration === null ? null : { column: inspiration, factor: 1, most: 10 };
    const timeCell = { column: time.column, factor: time.unit === 'ms' ? 0.001 : 1 };
    return (row, places) => {
      const at = number(row, places, timeCell);
      const press = {
        depthMm: number(row, places, depthCell),
        released: yes(row, places, mapping.released),
        handCorrect: yes(row, places, mapping.hand),
      };
      const breath = {
        volumeMl: number(row, places, volumeCell),
        success: yes(row, places, mapping.success),
        inspirationS: number(row, places, breathCell),
      };
      const says = (of: object): boolean => Object.values(of).some((x) => x !== undefined);
      if (!says(press) && !says(breath)) return;
      if (at === undefined) {
        add(row.line, time.column, 'the time is missing', 'Give every row its time.');
        return;
      }
      if (says(press)) events.compressions.push({ seconds: at, ...press });
      if (says(breath)) events.ventilations.push({ seconds: at, ...breath });
    };
  };

/**
 * Reads a manikin's file piece by piece, as `readMotion` does. Rows may stand in any order of time. With a fault, by
 * line and column, there are no figures. `span` is the stretch of the trial that rates and fractions are taken over.
 */
export const readManikin = (mapping: ManikinMapping, span: Span = {}) => {
  const { time, depth, released, hand, volume, success, inspiration } = mapping;
  const names = [
    time.column,
    ...[depth?.column, released, hand, volume?.column, success, inspiration].flatMap(
      (n) => n ?? [],
    ),
  ];
  const events: Events = { compressions: [], ventilations: [] };
  const table = seriesTable(mapping.delimiter, names, rowEvents(mapping, events));
  const end = (): ManikinRead => {
    const faults = table.end();
    const { compressions, ventilations } = events;
    if (faults.total === 0 && compressions.length + ventilations.length === 0) {
      table.add(1, '', 'there is no compression and no breath', 'Check the columns chosen.');
    }
    const rows = table.rows();
    if (faults.total > 0) return { ok: false, rows, faults };
    const pressed = compressions
      .flatMap(({ seconds, depthMm }) =>
        depthMm === undefined ? [] : [{ seconds, value: depthMm }],
      )
      .toSorted((a, b) => a.seconds - b.seconds);
    return {
      ok: true,
      rows,
      compressions: compressionFigures(compressions, span),
      ventilations: ventilationFigures(ventilations, span),
      depths: thinSeries(
        pressed.map((p) => p.seconds),
        pressed.map((p) => p.value),
      ),
      breaths: ventilations
        .toSorted((a, b) => a.seconds - b.seconds)
        .slice(0, MAX_BREATHS)
        .map(({ seconds, success }) => ({ seconds, success })),
    };
  };
  return { push: table.push, rows: table.rows, end };
};
