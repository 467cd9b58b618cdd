import { expect, test } from 'vitest';
import { lockFigures } from '../../../server/src/evaluation/figures.ts';
import { fold } from '../../../server/src/evaluation/fold.ts';
import { ratingTable } from '../../../server/src/evaluation/rating-table.ts';
import { allStandings } from '../../../server/src/evaluation/standing.ts';
import {
  answerTable,
  isTableUnknown,
  type TableQuestion,
} from '../../../server/src/evaluation/table-figures.ts';
import { CELLS_HERE, Tables } from '../../../server/src/flows/tables.ts';
import { openedEvents, wideProtocol } from '../../support/evaluation-workload.ts';

const opened = (tasks: number, reviewers: number) => {
  const protocol = wideProtocol(tasks);
  const state = fold(openedEvents(tasks, reviewers));
  const table = ratingTable(state, protocol, allStandings(state, protocol), false);
  return { protocol, state, table };
};

const elsewhere = (fail = false) => {
  const asked: TableQuestion[] = [];
  const errors: string[] = [];
  const figures = {
    ask: (question: TableQuestion) => {
      asked.push(question);
      // As a thread gives it: a copy.
      return fail
        ? Promise.reject(new Error('the thread ended'))
        : Promise.resolve(structuredClone(answerTable(structuredClone(question))));
    },
    close: () => Promise.resolve(),
  };
  const log = { info: () => undefined, error: (words: string) => errors.push(words) };
  return { tables: new Tables(figures, log), asked, errors };
};

test('LG-2: the figures of a large table are asked elsewhere, once, and the lock is the same to the last digit', async () => {
  const { tables, asked } = elsewhere();
  const { protocol, state, table } = opened(100, CELLS_HERE / 100 + 1);
  expect(isTableUnknown(table, protocol)).toBe(true);
  await tables.prepare(table, protocol);
  await tables.prepare(table, protocol);
  expect(asked).toHaveLength(1);
  expect(isTableUnknown(table, protocol)).toBe(false);
  const anew = opened(100, CELLS_HERE / 100 + 1);
  expect(lockFigures(state, protocol)).toEqual(lockFigures(anew.state, anew.protocol));
});

test('a small table is worked out where it is needed', async () => {
  const { tables, asked } = elsewhere();
  const { protocol, table } = opened(30, 12);
  await tables.prepare(table, protocol);
  expect(asked).toHaveLength(0);
});

test('when the thread fails the operator is told, and the lock has its figures all the same', async () => {
  const { tables, errors } = elsewhere(true);
  const { protocol, state, table } = opened(100, CELLS_HERE / 100 + 1);
  await tables.prepare(table, protocol);
  expect(errors).toEqual(['the figures of a table could not be computed']);
  expect(lockFigures(state, protocol).alphaOrdinal).toHaveProperty('value');
});
