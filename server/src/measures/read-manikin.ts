import {
  compressionFigures,
  type Compression,
  type CompressionFigures,
  type Span,
} from './compressions.ts';
import { csvRows, type CsvRow } from './csv-rows.ts';
import { columnPlaces, numbersOf, yesOf, type NumberStyle } from './series-cells.ts';
import { seriesFaults, type SeriesFaults } from './series-fault.ts';
import { ventilationFigures, type Ventilation, type VentilationFigures } from './ventilations.ts';

/** How a manikin's file is read: a row with a depth is a compression, a row with a breath cell is a breath. */
export interface ManikinMapping extends NumberStyle {
  time: { column: string; unit: 's' | 'ms' };
  depth: { column: string; unit: 'mm' | 'cm' | 'in' } | null;
  released: string | null;
  hand: string | null;
  volume: { column: string; unit: 'ml' | 'l' } | null;
  success: string | null;
  inspiration: string | null;
}

export type ManikinRead =
  | { ok: true; rows: number; compressions: CompressionFigures; ventilations: VentilationFigures }
  | { ok: false; rows: number; faults: SeriesFaults };

const MAX_ROWS = 200_000;
const MILLIMETRES = { mm: 1, cm: 10, in: 25.4 } as const;
const MILLILITRES = { ml: 1, l: 1000 } as const;

/**
 * Reads a manikin's file piece by piece, as `readMotion` does. Rows may stand in any order of time. With a fault, by
 * line and column, there are no figures. `span` is the stretch of the trial that rates and fractions are taken over.
 */
export const readManikin = (mapping: ManikinMapping, span: Span = {}) => {
  const { add, faults } = seriesFaults();
  const compressions: Compression[] = [];
  const ventilations: Ventilation[] = [];
  const { time, depth, released, hand, volume, success, inspiration } = mapping;
  const names = [
    time.column,
    depth?.column,
    released,
    hand,
    volume?.column,
    success,
    inspiration,
  ].filter((name) => name !== null && name !== undefined);
  let header: string[] | undefined;
  let places = new Map<string, number>();
  let rows = 0;

  /** The number in a column; undefined when it is blank, not mapped, or a fault that is now on the list. */
  const number = (row: CsvRow, name: string | null | undefined): number | undefined => {
    if (name === null || name === undefined) return undefined;
    const read = numbersOf(row, [name], places, mapping.decimal, add);
    return read === undefined || read === 'blank' ? undefined : read[0];
  };
  const yes = (row: CsvRow, name: string | null): boolean | undefined => {
    if (name === null) return undefined;
    const cell = row.cells[places.get(name) ?? -1] ?? '';
    const read = yesOf(cell);
    if (read === undefined)
      add(row.line, name, `"${cell}" is neither yes nor no`, 'Write yes, no, 1 or 0.');
    return read === 'blank' ? undefined : read;
  };
  const sized = (row: CsvRow, name: string, value: number | undefined, most: number) => {
    if (value === undefined || (value >= 0 && value <= most)) return value;
    const fault = `${String(value)} cannot be (0 to ${String(most)})`;
    add(row.line, name, fault, 'Check the unit of the column.');
    return undefined;
  };

  const event = (row: CsvRow): void => {
    const at = number(row, time.column);
    const factor = time.unit === 'ms' ? 0.001 : 1;
    const raw = number(row, depth?.column);
    const depthMm = raw === undefined || !depth ? undefined : raw * MILLIMETRES[depth.unit];
    const breath = number(row, volume?.column);
    const volumeMl =
      breath === undefined || !volume ? undefined : breath * MILLILITRES[volume.unit];
    const inspirationS = number(row, inspiration);
    const [isReleased, handCorrect] = [yes(row, released), yes(row, hand)];
    const wentIn = yes(row, success);
    const pressed = [depthMm, isReleased, handCorrect].some((x) => x !== undefined);
    const breathed = [volumeMl, wentIn, inspirationS].some((x) => x !== undefined);
    if (!pressed && !breathed) return;
    if (at === undefined) {
      add(row.line, time.column, 'the time is missing', 'Give every row its time.');
      return;
    }
    const seconds = at * factor;
    if (pressed) {
      sized(row, depth?.column ?? '', depthMm, 100);
      compressions.push({ seconds, depthMm, released: isReleased, handCorrect });
    }
    if (breathed) {
      sized(row, volume?.column ?? '', volumeMl, 2500);
      ventilations.push({ seconds, volumeMl, success: wentIn, inspirationS });
    }
  };

  const onRow = (row: CsvRow): void => {
    if (!header) {
      header = row.cells;
      places = columnPlaces(header, names, add);
      return;
    }
    rows += 1;
    if (rows === MAX_ROWS + 1) {
      add(row.line, '', `more than ${String(MAX_ROWS)} rows`, 'Cut the file to the trial.');
    }
    if (rows > MAX_ROWS || places.size < new Set(names).size) return;
    if (row.cells.length !== header.length) {
      const fault = `${String(row.cells.length)} cells, the first line has ${String(header.length)}`;
      add(row.line, '', fault, 'Quote a cell that holds the delimiter.');
    } else event(row);
  };

  const csv = csvRows(mapping.delimiter, onRow);
  const end = (): ManikinRead => {
    const { unclosed } = csv.end();
    if (unclosed !== undefined) {
      add(unclosed, '', 'a quote is opened and never closed', 'Close it, or double it in a cell.');
    }
    if (faults.total === 0 && compressions.length + ventilations.length === 0) {
      add(1, '', 'there is no compression and no breath', 'Check the columns chosen.');
    }
    if (faults.total > 0) return { ok: false, rows, faults };
    return {
      ok: true,
      rows,
      compressions: compressionFigures(compressions, span),
      ventilations: ventilationFigures(ventilations, span),
    };
  };
  return { push: csv.push, rows: () => rows, end };
};
