import { describe, expect, test } from 'vitest';
import { MAX_ROWS, readRatingList } from '../../../server/src/analysis/read-rating-list.ts';
import type { RatingScale } from '../../../server/src/consensus/table.ts';

const scale: RatingScale = { min: 0, max: 5, better: 'lower' };

const ratingsOf = (text: string) => {
  const list = readRatingList(text, scale);
  if (!list.ok) throw new Error(JSON.stringify(list.faults));
  return list.ratings;
};

/** Faults as `line column: fault`. */
const faultsOf = (text: string): string[] => {
  const list = readRatingList(text, scale);
  return list.ok ? [] : list.faults.map((f) => `${String(f.line)} ${f.column}: ${f.fault}`);
};

describe('what is read', () => {
  test.each([
    ['comma', 'task,reviewer,rating\nroll,A,3\n'],
    ['semicolon', 'task;reviewer;rating\nroll;A;3\n'],
    ['tab', 'task\treviewer\trating\nroll\tA\t3\n'],
    ['byte order mark and Windows line ends', '\ufefftask,reviewer,rating\r\nroll,A,3\r\n'],
    ['capitals and blanks in the header', ' Task , REVIEWER,Rating \nroll,A,3'],
    ['other order of columns', 'rating,task,reviewer\n3,roll,A'],
    ['blank lines between', 'task,reviewer,rating\n\nroll,A,3\n\n'],
  ])('%s', (_, text) => {
    expect(ratingsOf(text)).toMatchObject([{ task: 'roll', reviewer: 'A', rating: 3, round: 1 }]);
  });

  test.each(['', 'NA', 'na', 'N/A', '  '])('"%s" is an absent rating', (cell) => {
    const [, absent] = ratingsOf(`task,reviewer,rating\nroll,A,3\nroll,B,${cell}\n`);
    expect(absent).toMatchObject({ reviewer: 'B', rating: undefined });
  });

  test('decimal comma and half points, quoted names with the delimiter inside', () => {
    expect(ratingsOf('task;reviewer;rating\n"roll; left";A;2,5\n')).toMatchObject([
      { task: 'roll; left', rating: 2.5 },
    ]);
  });

  test('names are compared after Unicode normalisation', () => {
    const [a, b] = ratingsOf('task,reviewer,rating\nMu\u0308tze,A,3\nM\u00fctze,B,3\n');
    expect(a?.task).toBe(b?.task);
  });
});

describe('every fault is named with its place', () => {
  test.each([
    ['', ['1 task: the file is empty']],
    ['task,rating\nroll,3', ['1 reviewer: the column is missing']],
    ['task,reviewer,rating,weigth\nroll,A,3,1', ['1 weigth: unknown column in place 4']],
    ['task,reviewer,rating,task\nroll,A,3,x', ['1 task: the column stands twice']],
    ['task,reviewer,rating\nroll,A,6', ['2 rating: "6" is not a rating']],
    ['task,reviewer,rating\nroll,A,-1', ['2 rating: "-1" is not a rating']],
    ['task,reviewer,rating\nroll,A,2.7', ['2 rating: "2.7" is not a rating']],
    ['task,reviewer,rating\nroll,A,1e1', ['2 rating: "1e1" is not a rating']],
    ['task,reviewer,rating\nroll,A,Infinity', ['2 rating: "Infinity" is not a rating']],
    ['task,reviewer,rating\n,A,3', ['2 task: the name is empty']],
    ['task,reviewer,rating\nroll,A\u202e,3', ['2 reviewer: the name cannot be used']],
    ['task,reviewer,rating\nroll,A', ['2 rating: 2 cells, the first line has 3']],
    ['task,reviewer,rating\nroll,A,3,4', ['2 after rating: 4 cells, the first line has 3']],
    ['task,reviewer,rating,\nroll,A,3,', ['1 number 4: unknown column in place 4']],
    ['task,reviewer,rating\n"roll,A,3', ['2 task: the quotes do not match']],
    [
      'task,reviewer,rating\nroll,A,3\n\n"lift,A,3\nlift,B,9\nlift,"C"x,1\nlift,D,2,2\nroll,B,x\n',
      [
        '4 task: the quotes do not match',
        '5 rating: "9" is not a rating',
        '6 reviewer: the quotes do not match',
        '7 after rating: 4 cells, the first line has 3',
        '8 rating: "x" is not a rating',
      ],
    ],
    [
      'task,reviewer,rating\n"a\nb",A,3\n"lift\nup"z,A,3\nroll,B,9\n',
      [
        '4 task: the quotes do not match',
        '5 task: the quotes do not match',
        '6 rating: "9" is not a rating',
      ],
    ],
    ['"task,reviewer,rating\nroll,A,9', ['1 task: the quotes do not match']],
    ['task,reviewer,rating\nroll,A,3\nroll,A,4', ['3 rating: A already rated roll in line 2']],
    ['task,reviewer,rating\nroll,A,', ['1 rating: there is no rating in the file']],
    [
      'task,reviewer,rating,weight\nroll,A,3,1\nroll,B,3,2',
      ['3 weight: roll has another weight in line 2'],
    ],
    [
      'task,reviewer,rating,section\nroll,A,3,x\nroll,B,3,y',
      ['3 section: roll has another section in line 2'],
    ],
    ['task,reviewer,rating,weight\nroll,A,3,-1', ['2 weight: "-1" is not a weight']],
    ['task,reviewer,rating,round\nroll,A,3,0', ['2 round: "0" is not a round']],
    [
      'task,reviewer,rating,round\n,A,9,x\nroll,B,3,1',
      ['2 task: the name is empty', '2 rating: "9" is not a rating', '2 round: "x" is not a round'],
    ],
  ])('%j', (text, faults) => {
    expect(faultsOf(text)).toEqual(faults);
  });

  test('each has a remedy', () => {
    const list = readRatingList('task,reviewer,rating,x\nroll,A,9,', scale);
    expect(list.ok ? [] : list.faults.filter((f) => f.remedy.length < 10)).toEqual([]);
    expect(list.ok).toBe(false);
  });

  test('the same rating in another round or trial is none', () => {
    expect(faultsOf('task,reviewer,rating,round\nroll,A,3,1\nroll,A,4,2')).toEqual([]);
    expect(faultsOf('task,reviewer,rating,trial\nroll,A,3,1\nroll,A,4,2')).toEqual([]);
  });

  test(`more than ${String(MAX_ROWS)} rows`, () => {
    const rows = Array.from({ length: MAX_ROWS + 1 }, (_, i) => `t${String(i)},A,1`);
    expect(faultsOf(['task,reviewer,rating', ...rows].join('\n'))).toEqual([
      `${String(MAX_ROWS + 2)} task: more than ${String(MAX_ROWS)} rows`,
    ]);
  });
});
