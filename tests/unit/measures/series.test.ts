import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  csvRows,
  delimiterOf,
  type CsvRow,
  type ManikinMapping,
  type MotionMapping,
} from '../../../shared-types/src/index.ts';
import { readManikin } from '../../../server/src/measures/read-manikin.ts';
import { readMotion } from '../../../server/src/measures/read-motion.ts';
import { readSeries } from '../../../server/src/measures/read-series.ts';
import { must } from '../../support/expect-figure.ts';
import { MOTION_MAPPING, motionFile } from '../../support/motion-file.ts';

const rowsOf = (pieces: string[], delimiter: ',' | ';' | '\t' = ','): CsvRow[] => {
  const rows: CsvRow[] = [];
  const csv = csvRows(delimiter, (row) => rows.push(row));
  for (const piece of pieces) csv.push(piece);
  expect(csv.end()).toEqual({ unclosed: undefined });
  return rows;
};

describe('rows of a file', () => {
  test('quotes, ends of lines, blank lines and a byte order mark', () => {
    const text = '\uFEFFa,"b ""c"""\r\n\r\n1,"x\ny"\n2,""\r3,';
    expect(rowsOf([text])).toEqual([
      { cells: ['a', 'b "c"'], line: 1 },
      { cells: ['1', 'x\ny'], line: 3 },
      { cells: ['2', ''], line: 5 },
      { cells: ['3', ''], line: 6 },
    ]);
  });

  test('wherever the file is cut, the rows are the same', () => {
    const cell = fc.constantFrom('1', '2,5', 'a"b', 'x\ny', '', ' ', '\u00E9');
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1 });
    fc.assert(
      fc.property(
        table,
        fc.constantFrom('\n', '\r\n', '\r'),
        fc.array(fc.nat(9)),
        (t, end, cuts) => {
          const quoted = (c: string): string => `"${c.replaceAll('"', '""')}"`;
          const text = t.map((cells) => cells.map(quoted).join(',')).join(end);
          const pieces: string[] = [];
          let at = 0;
          for (const cut of cuts) {
            pieces.push(text.slice(at, at + cut));
            at += cut;
          }
          const found = rowsOf([...pieces, text.slice(at)]);
          expect(found).toEqual(rowsOf([text]));
          expect(found.map((r) => r.cells)).toEqual(t);
        },
      ),
      { seed: 71 },
    );
  });

  test('a quote that is never closed is told by its line, and an endless cell is refused', () => {
    const csv = csvRows(',', () => undefined);
    csv.push('a\nb,"c\nd\n');
    expect(csv.end()).toEqual({ unclosed: { line: 2, cell: 1 } });
    expect(() => csvRows(',', () => undefined).push('x'.repeat(10_001))).toThrow(/endless cell/u);
    expect(() => csvRows(',', () => undefined).push(','.repeat(1001))).toThrow(/too many cells/u);
  });

  test('a file with a NUL in it is no text, and is told so by line and column', () => {
    const push = (text: string) => () => csvRows(',', () => undefined).push(text);
    expect(push('a,b\n1,\0')).toThrow('line 2, column 2 holds a NUL byte');
    expect(push('"a\0"')).toThrow('line 1, column 1 holds a NUL byte');
  });

  test('the delimiter is what the first line uses most', () => {
    expect([delimiterOf('a,b'), delimiterOf('a;b,c;d'), delimiterOf('a\tb')]).toEqual([
      ',',
      ';',
      '\t',
    ]);
  });
});

describe('a motion file', () => {
  const read = (text: string, mapping: MotionMapping = MOTION_MAPPING) => {
    const reader = readMotion(mapping);
    reader.push(text);
    return reader.end();
  };
  const motion = (text: string, mapping?: MotionMapping) => {
    const found = read(text, mapping);
    if (!found.ok) throw new Error(JSON.stringify(found.faults.kept));
    return found.motion;
  };
  const faults = (text: string, mapping?: MotionMapping) => {
    const found = read(text, mapping);
    return found.ok ? expect.fail('no fault found') : found.faults;
  };
  const turned = (degrees: number): string => {
    const half = (degrees * Math.PI) / 360;
    return `${String(Math.cos(half))},0,0,${String(Math.sin(half))}`;
  };
  const still = '1,0,0,0';
  const head = [...motionFile(0)][0] ?? '';

  test('is read piece by piece as it is read whole', () => {
    const lines = [...motionFile(500)];
    const reader = readMotion(MOTION_MAPPING);
    for (const line of lines)
      for (const half of [line.slice(0, 9), line.slice(9)]) reader.push(half);
    expect(reader.rows()).toBe(500);
    const found = reader.end();
    expect(found).toEqual(read(lines.join('')));
    expect(found).toMatchObject({ ok: true, rows: 500, motion: { valid: true, missing: 0 } });
  });

  test('blank orientations and jumps in time are lost samples', () => {
    const rows = [
      `0,${turned(0)},${still}`,
      `0.01,,,,,${still}`,
      `0.02,${turned(10)},${still}`,
      `0.05,${turned(20)},${still}`,
    ];
    const found = motion(head + rows.join('\n'));
    expect(found).toMatchObject({ samples: 3, missing: 3, valid: false });
    expect(must(found.planes).flexion.range).toBeCloseTo(20, 8);
  });

  test('matrices by rows, milliseconds, semicolons and decimal commas', () => {
    const names = Array.from({ length: 9 }, (_, i) => `m${String(i)}`);
    const mapping: MotionMapping = {
      ...MOTION_MAPPING,
      delimiter: ';',
      decimal: ',',
      time: { column: 't', unit: 'ms' },
      head: { kind: 'matrix', columns: names },
      torso: null,
    };
    const row = (t: number, degrees: number): string => {
      const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const cells = [t, c, -s, 0, s, c, 0, 0, 0, 1];
      return cells.map((x) => String(x).replace('.', ',')).join(';');
    };
    const found = motion(`t;${names.join(';')}\n${row(0, 5)}\n${row(10, 35)}`, mapping);
    expect(must(found.planes).flexion.change).toBeCloseTo(30, 8);
    expect(found.notes).toEqual([expect.stringMatching(/in the room/u)]);
  });

  test('Cardan angles in their own order, without times', () => {
    const mapping: MotionMapping = {
      ...MOTION_MAPPING,
      time: null,
      head: { kind: 'cardan', columns: ['a', 'b', 'c'], order: 'xyz', unit: 'deg' },
      torso: null,
    };
    const found = motion('a,b,c\n0,0,0\n12,0,0\n', mapping);
    expect(must(found.planes).sideBending.range).toBeCloseTo(12, 8);
    expect(must(found.helical).seconds).toBe(0.01);
  });

  test('every fault is told by line and column, and with one there are no figures', () => {
    const rows = [
      `0,${still},${still}`,
      `0.01,abc,0,0,0,${still}`,
      `0.02,2,0,0,0,${still}`,
      `0.02,${still},${still}`,
      `,${still},${still}`,
      `0.05,${still}`,
    ];
    const found = faults(head + rows.join('\n'));
    expect(found.total).toBe(5);
    expect(found.kept.map((f) => [f.place, f.fault])).toEqual([
      ['line 3, column head w', '"abc" is no number'],
      ['line 4, column head w head x head y head z', "the quaternion's length is 2.000, not 1"],
      ['line 5, column time', 'the time does not rise'],
      ['line 6, column time', 'the time is missing'],
      ['line 7, column torso w', '5 cells, the first line has 9'],
    ]);
    expect(found.kept.every((f) => f.remedy.length > 10)).toBe(true);
  });

  test('a row that is too long is told by the number of the column that has no name', () => {
    const found = faults(`${head}0,${still},${still},9`);
    expect(found.kept).toMatchObject([
      { place: 'line 2, column 10', fault: '10 cells, the first line has 9' },
    ]);
  });

  test('a sample that is counted as lost is told by line and column', () => {
    const found = read(`${head}0,${still},${still}\n0.01,1,0,NaN,0,${still}\n`);
    if (!found.ok) throw new Error(JSON.stringify(found.faults.kept));
    expect(found.motion.missing).toBe(1);
    expect(found.lost.total).toBe(1);
    expect(found.lost.kept[0]).toMatchObject({
      place: 'line 3, column head y',
      fault: 'there is no value: a lost sample',
    });
  });

  test('a jump longer than the longest series is another unit or another recording, not a gap', () => {
    const rows = (second: string): string =>
      `${head}0,${still},${still}\n${second},${still},${still}\n`;
    // 200,000 samples at 100 a second.
    expect(motion(rows('1999.99')).missing).toBe(199_998);
    expect(faults(rows('31536000')).kept).toMatchObject([
      { place: 'line 3, column time', fault: 'the time jumps by 3.15360e+7 s' },
    ]);
  });

  test('too many rows are refused, and what follows them is not taken apart', () => {
    const reader = readMotion({
      ...MOTION_MAPPING,
      time: null,
      head: { kind: 'cardan', columns: ['a', 'a', 'a'], order: 'zxy', unit: 'deg' },
      torso: null,
    });
    reader.push('a\n');
    for (let i = 0; i < 201; i++) reader.push('1\n'.repeat(1000));
    // Would throw as an endless cell, were it read.
    reader.push('x'.repeat(20_000));
    const found = reader.end();
    if (found.ok) throw new Error('read');
    expect(found.faults.kept).toMatchObject([
      { place: 'line 200002', fault: 'more than 200000 rows' },
    ]);
  });

  test('columns that are missing or doubled, and files without rows, are told', () => {
    expect(faults('time,head w\n0,1\n').kept[0]).toMatchObject({
      place: 'line 1, column head x',
      fault: 'there is no such column',
      remedy: 'Choose one of: time, head w.',
    });
    const doubled = head.replace('head x', 'head w');
    expect(faults(doubled).kept.map((f) => f.fault)).toContain('the column stands twice');
    const noRow = { place: 'line 1, column time', fault: 'there is no row' };
    expect(faults('').kept[0]).toMatchObject(noRow);
    expect(faults(head).kept[0]).toMatchObject({ ...noRow, place: 'line 2, column time' });
    expect(faults(`${head}0,"1,0`).kept).toContainEqual(
      expect.objectContaining({
        place: 'line 2, column head w',
        fault: 'a quote is opened and never closed',
      }),
    );
  });

  test('a list of faults has an end, and the count goes on', () => {
    const found = faults(head + Array.from({ length: 300 }, () => 'x').join('\n'));
    expect(found.total).toBe(300);
    expect(found.kept).toHaveLength(200);
  });

  test('a mapping that cannot be is refused before a row is read', () => {
    const wrong = (more: Partial<MotionMapping>) => () =>
      readMotion({ ...MOTION_MAPPING, ...more });
    expect(wrong({ rate: 0 })).toThrow(/rate/u);
    expect(wrong({ decimal: ',' })).toThrow(/decimal comma/u);
    expect(wrong({ head: { kind: 'quaternion', columns: ['w'] } })).toThrow(/takes 4 columns/u);
  });

  test('mirrored matrices are refused', () => {
    const names = Array.from({ length: 9 }, (_, i) => `m${String(i)}`);
    const mapping: MotionMapping = {
      ...MOTION_MAPPING,
      time: null,
      head: { kind: 'matrix', columns: names },
      torso: null,
    };
    const found = faults(`${names.join(',')}\n1,0,0,0,1,0,0,0,-1\n`, mapping);
    expect(found.kept[0]?.remedy).toMatch(/right-handed/u);
  });
});

describe('a manikin file', () => {
  const MAPPING: ManikinMapping = {
    delimiter: ',',
    decimal: '.',
    time: { column: 'ms', unit: 'ms' },
    depth: { column: 'depth', unit: 'cm' },
    released: 'released',
    hand: null,
    volume: { column: 'litres', unit: 'l' },
    success: 'in',
    inspiration: null,
  };
  const read = (rows: string[], mapping = MAPPING) => {
    const reader = readSeries({ kind: 'manikin', mapping, span: { from: 0, to: 60 } });
    reader.push(['ms,depth,released,litres,in', ...rows].join('\n'));
    return reader.end();
  };

  test('a row is a compression or a breath by what it holds', () => {
    const found = read([
      '0,5.2,yes,,',
      '500,4.9,no,,',
      '1000,5.5,1,,',
      '3000,,,0.5,yes',
      '',
      '4000,,,,',
    ]);
    if (!found.ok || !('compressions' in found)) throw new Error(JSON.stringify(found));
    expect(found.rows).toBe(5);
    expect(must(found.compressions.rate)).toBeCloseTo(120, 10);
    expect(must(found.compressions.depth)).toBeCloseTo(52, 10);
    expect(must(found.compressions.depthInTarget)).toMatchObject({ successes: 2, of: 3 });
    expect(must(found.compressions.released)).toMatchObject({ successes: 2, of: 3 });
    expect(must(found.ventilations.volume)).toBe(500);
    expect(must(found.ventilations.firstSuccess)).toBe(3);
  });

  test('faults are told by line and column', () => {
    const found = read(['0,52,yes,,', '500,x,maybe,,', ',5,,,', '700,5', '900,,,9,']);
    if (found.ok) throw new Error('read');
    expect(found.faults.kept.map((f) => [f.place, f.fault])).toEqual([
      ['line 2, column depth', '520 cannot be (0 to 100)'],
      ['line 3, column depth', '"x" is no number'],
      ['line 3, column released', '"maybe" is neither yes nor no'],
      ['line 4, column ms', 'the time is missing'],
      ['line 5, column released', '2 cells, the first line has 5'],
      ['line 6, column litres', '9000 cannot be (0 to 2500)'],
    ]);
  });

  test('a file without any event says so', () => {
    const reader = readManikin(MAPPING);
    reader.push('ms,depth,released,litres,in\n5,,,,\n');
    expect(reader.end()).toMatchObject({
      ok: false,
      faults: { kept: [{ fault: 'there is no compression and no breath' }] },
    });
  });
});
