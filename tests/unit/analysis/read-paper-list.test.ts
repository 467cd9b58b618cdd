import { expect, test } from 'vitest';
import { readPaperList } from '../../../server/src/analysis/read-paper-list.ts';
import { checkProtocol } from '../../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
const { protocol } = checked;
const read = (...lines: string[]) => readPaperList(`${lines.join('\n')}\n`, protocol);

test('ratings, answers off the scale, reasons and rounds are read; a blank cell is no rating', () => {
  const list = read(
    'task,reviewer,rating,round,reason,note',
    'airway-open,Ana,2,,,"Two lines,\nquoted"',
    'Airway-Open,Ben,3,2,,',
    'mask-ventilation,Ana,n/a,,No mask in the kit,',
    'fit-retention,Ana,,,,',
    'fit-retention,Ben,Not observed,,,',
  );
  expect(list.faults).toEqual([
    expect.objectContaining({
      line: 5,
      column: 'task',
      fault: 'the protocol has no task "mask-ventilation"',
    }),
  ]);
  expect(list).toMatchObject({ whole: false, lines: 5, empty: 1 });
  expect(
    list.rows.map(({ task, reviewer, round, rating }) => [
      task,
      reviewer,
      round,
      rating.answer,
      rating.step,
    ]),
  ).toEqual([
    ['airway-open', 'Ana', 1, 'step', 2],
    ['airway-open', 'Ben', 2, 'step', 3],
    ['fit-retention', 'Ben', 1, 'not-observed', null],
  ]);
  expect(list.rows[0]?.rating.note).toBe('Two lines,\nquoted');
});

test('titles name tasks too, semicolons and tabs separate, and a mark at the front is no column', () => {
  const title = protocol.sections[0]?.tasks[0]?.title ?? '';
  for (const sign of [';', '\t']) {
    const list = readPaperList(
      `\ufeff${['Task', 'Reviewer', 'Rating'].join(sign)}\r\n${[title, 'Ana', '1,0'].join(sign)}\r\n`,
      protocol,
    );
    expect(list.faults).toEqual([]);
    expect(list.rows[0]).toMatchObject({
      task: protocol.sections[0]?.tasks[0]?.id,
      rating: { step: 1 },
    });
  }
});

const faultsOf = (...lines: string[]) =>
  read(...lines).faults.map((f) => `${String(f.line)} ${f.column}: ${f.fault}`);

test('PA-2: every fault has its line, column and remedy, and nothing of a faulty line is taken', () => {
  const head = 'task,reviewer,rating,easier,reason,critical';
  expect(faultsOf('task,reviewer')).toEqual(['1 rating: the column is missing']);
  expect(faultsOf('task,reviewer,rating,weigth')).toEqual(['1 weigth: unknown column in place 4']);
  expect(faultsOf('task,reviewer,rating,step')).toEqual(['1 step: the column stands twice']);
  expect(faultsOf('')).toEqual(['1 task: the file is empty']);
  expect(faultsOf(head)).toEqual(['1 rating: there is no rating in the file']);
  expect(
    faultsOf(
      head,
      'airway-open,Ana,7,,,',
      'airway-open,Ben,2.5,,,',
      'airway-open,,2,,,',
      'airway-open,Cleo,n/a,,,',
      'airway-open,Dan,2,maybe,,',
      'airway-open,Eva,2,yes,,',
      'airway-open,Fay,2,,,x',
      'airway-open,Gus,2',
    ),
  ).toEqual([
    '2 rating: "7" is not a rating',
    '3 rating: "2.5" is not a rating',
    '4 reviewer: the name is empty',
    '5 reason: the rating cannot stand',
    '6 easier: "maybe" is neither yes nor no',
    '7 easier: the rating cannot stand',
    '8 critical: the critical cannot be kept',
    '9 easier: 3 cells, the first line has 6',
  ]);
  for (const f of read(head, 'airway-open,Ana,7,,,').faults) expect(f.remedy).not.toBe('');
});

test('two lines that rate the same are both at fault: nobody says which is meant', () => {
  const list = read(
    'task,reviewer,rating',
    'airway-open,Ana,2',
    'airway-open,Ben,2',
    'airway-open,Ana,3',
  );
  expect(list.faults.map((f) => f.line)).toEqual([2, 4]);
  expect(list.rows.map((r) => r.reviewer)).toEqual(['Ben']);
});

test('an apostrophe that guards a spreadsheet is taken away, and what no longer stands is left', () => {
  const list = read(
    'task,reviewer,step,stands,note',
    "airway-open,Ana,2,no,'=old",
    "airway-open,Ana,3,yes,'=1+1",
    "fit-retention,Ana,3,yes,'plain",
  );
  expect(list.faults).toEqual([]);
  expect(list.rows.map((r) => [r.rating.step, r.rating.note])).toEqual([
    [3, '=1+1'],
    [3, "'plain"],
  ]);
  expect(list.empty).toBe(1);
});
