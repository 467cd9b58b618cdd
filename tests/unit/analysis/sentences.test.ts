import { expect, test } from 'vitest';
import {
  agreementSentence,
  dependabilitySentence,
} from '../../../server/src/analysis/sentences.ts';
import { analyseList, listOf } from '../../support/analyse-rows.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;
const rowsOf = (rows: (number | null)[][]) =>
  analyseList(
    listOf(
      rows.map((_, i) => `t${String(i)}`),
      (rows[0] ?? []).map((_, j) => `R${String(j)}`),
      rows,
    ),
    scale,
  );

test('tasks told apart alike', () => {
  const found = rowsOf([
    [0, 0, 0],
    [2, 2, 2],
    [4, 4, 5],
    [5, 5, 5],
  ]);
  expect(agreementSentence(found)).toMatch(/^The reviewers tell the tasks apart alike\./u);
  expect(dependabilitySentence(found)).toMatch(
    /^Dependable at \.80: phi 0\.\d\d with 3 reviewers\.$/u,
  );
});

test('a low alpha on tasks that hardly differ is not the reviewers\u2019 fault', () => {
  const found = rowsOf([
    [1, 1, 2],
    [1, 2, 1],
    [2, 1, 1],
    [1, 1, 1],
    [1, 2, 1],
    [2, 1, 1],
  ]);
  expect(agreementSentence(found)).toMatch(/^Alpha is low because the tasks hardly differ/u);
  expect(dependabilitySentence(found)).toBe('Not estimable: the tasks do not differ.');
});

test('reviewers who see different tasks as hard', () => {
  const found = rowsOf([
    [0, 5, 2],
    [5, 0, 3],
    [1, 4, 0],
    [4, 1, 5],
  ]);
  expect(agreementSentence(found)).toMatch(
    /^The reviewers do not tell the tasks apart alike\. Talk the divergent ones through\. /u,
  );
});

test('how many more reviewers a dependable result would take', () => {
  const found = rowsOf([
    [0, 1],
    [1, 3],
    [2, 2],
    [3, 5],
    [4, 3],
    [2, 4],
  ]);
  const { phi, reviewers_for_phi_80: needed } = found.dependability;
  expect(phi).toBeLessThan(0.8);
  expect(dependabilitySentence(found)).toContain(
    `with ${String((needed ?? 0) - 2)} more reviewers the result would be dependable at .80`,
  );
});

test('one value only', () => {
  expect(
    agreementSentence(
      rowsOf([
        [1, 1],
        [1, 1],
      ]),
    ),
  ).toMatch(/^Alpha is not defined: no variation/u);
});
