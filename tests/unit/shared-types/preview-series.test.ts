import { expect, test } from 'vitest';
import { previewSeries } from '../../../shared-types/src/preview-series.ts';
import { motionFile } from '../../support/motion-file.ts';

test('a file is looked at before it is read: delimiter, columns, first rows, time and rate', () => {
  const text = [...motionFile(40)].join('');
  const found = previewSeries(`\uFEFF${text.slice(0, -7)}`);
  expect(found).toMatchObject({
    delimiter: ',',
    decimal: '.',
    time: { column: 'time', unit: 's', rate: 100 },
  });
  expect(found.columns[1]).toBe('head w');
  expect(found.rows).toHaveLength(8);
  expect(found.rows[0]?.[0]).toBe('0.00');
});

test('decimal commas, semicolons and milliseconds', () => {
  expect(previewSeries('name;ms;angle\na;0;1,5\nb;20;1,5\nc;40;1,25\n')).toEqual({
    delimiter: ';',
    decimal: ',',
    columns: ['name', 'ms', 'angle'],
    rows: [
      ['a', '0', '1,5'],
      ['b', '20', '1,5'],
      ['c', '40', '1,25'],
    ],
    time: { column: 'ms', unit: 'ms', rate: 50 },
  });
});

test('without a rising column there is no time, and an empty file has no columns', () => {
  expect(previewSeries('a,b\n1,2\n1,2\n1,2\n').time).toBeUndefined();
  expect(previewSeries('a,b\n1,2\n').time).toBeUndefined();
  expect(previewSeries('')).toMatchObject({ columns: [], rows: [], time: undefined });
});
