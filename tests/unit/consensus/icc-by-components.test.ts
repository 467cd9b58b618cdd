import { expect, test } from 'vitest';
import { icc, type IccForm } from '../../../server/src/consensus/icc.ts';
import { iccByComponents } from '../../../server/src/consensus/icc-by-components.ts';
import { componentsByReml } from '../../../server/src/consensus/variance-components.ts';
import { must } from '../../support/expect-figure.ts';

/** Shrout & Fleiss 1979, Table 2. */
const TABLE = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];
const components = (cells: (number | undefined)[][]) => {
  const found = componentsByReml(cells);
  if (!found) throw new Error('no components');
  return found;
};

test('on a complete table they are the forms of Shrout & Fleiss', () => {
  const found = must(iccByComponents(TABLE, components(TABLE)));
  const { forms } = must(icc(TABLE));
  const form = (name: IccForm): number => must(forms[name]).estimate;
  expect(found.agreementSingle).toBeCloseTo(form('2,1'), 8);
  expect(found.agreementAverage).toBeCloseTo(form('2,k'), 8);
  expect(found.consistencySingle).toBeCloseTo(form('3,1'), 8);
  expect(found.consistencyAverage).toBeCloseTo(form('3,k'), 8);
  expect(found.reviewers).toBe(4);
});

test('absent cells shorten the average to the harmonic mean of the ratings a task has', () => {
  const cells: (number | undefined)[][] = TABLE.map((row) => [...row]);
  cells[0] = [9, 2, undefined, undefined];
  const found = must(iccByComponents(cells, components(cells)));
  expect(found.reviewers).toBeCloseTo(6 / (1 / 2 + 5 / 4), 12);
  expect(found.agreementAverage).toBeGreaterThan(found.agreementSingle);
});

test('nothing varies: no figure', () => {
  expect(iccByComponents([[1, 1]], { task: 0, reviewer: 0, residual: 0 }).ok).toBe(false);
});
