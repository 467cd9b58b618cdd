import { describe, expect, test } from 'vitest';
import { divergenceFlags, type TaskAnswers } from '../../../server/src/consensus/divergence.ts';
import { defaultRule } from '../../../server/src/consensus/divergence-rule.ts';
import { flagSentence } from '../../../server/src/consensus/flag-sentence.ts';

const rule = defaultRule({ min: 0, max: 5, better: 'lower' });
const sentences = (values: readonly number[], more: Partial<TaskAnswers> = {}): string[] => {
  const steps = values.map((value, i) => ({ reviewer: String.fromCharCode(65 + i), value }));
  const answers = { steps, notApplicable: [], critical: [], ...more };
  return divergenceFlags(answers, rule).map((f) => flagSentence(f));
};

describe('one plain sentence a flag', () => {
  test.each([
    [
      [0, 0, 5],
      [
        'C stands 5 points from the median of the others.',
        'The panel is split: the ratings lie up to 5 points apart.',
      ],
    ],
    [[1, 1, 1, 4], ['D stands 3 points from the median of the others.']],
    [
      [1, 1, 1, 1, 5, 4],
      [
        'E and F stand up to 4 points from the median of the others.',
        'The panel is split: the ratings lie up to 4 points apart.',
      ],
    ],
    [
      [1, 1, 4, 4],
      [
        'The panel falls into camps, up to 3 points from the median of the others.',
        'The panel is split: the ratings lie up to 3 points apart.',
      ],
    ],
    [[1, 3.5], ['Two reviewers, 2.5 points apart: A and B.']],
  ])('ratings %j', (values, expected) => {
    expect(sentences(values)).toEqual(expected);
  });
  test('two ratings that only the average deviation tells apart, on eleven points', () => {
    const eleven = defaultRule({ min: 0, max: 10, better: 'lower' });
    const steps = [3, 7].map((value, i) => ({ reviewer: String(i), value }));
    const flags = divergenceFlags({ steps, notApplicable: [], critical: [] }, eleven);
    expect(flags.map((f) => flagSentence(f))).toEqual(['Two reviewers, 4 points apart.']);
  });
  test('disputes', () => {
    expect(sentences([4, 4, 4], { critical: ['A', 'B'] })).toEqual([
      'A and B propose a critical failure; others who rated do not.',
    ]);
    expect(sentences([4, 4], { critical: ['A'] })).toEqual([
      'A proposes a critical failure; others who rated do not.',
    ]);
    expect(sentences([2, 2, 2], { notApplicable: ['X'] })).toEqual([
      'Some rate the task and some say it does not apply: ask X.',
    ]);
    expect(sentences([2, 2, 2], { contradicted: ['A', 'B', 'C'] })).toEqual([
      'The measured trials speak against the rating of A, B and C.',
    ]);
  });
  test('readers get names, not ids', () => {
    const steps = [1, 1, 4].map((value, i) => ({ reviewer: `seat-${String(i)}`, value }));
    const [flag] = divergenceFlags({ steps, notApplicable: [], critical: [] }, rule);
    const names = (id: string): string => (id === 'seat-2' ? 'Robin' : id);
    expect(flag && flagSentence(flag, names)).toBe(
      'Robin stands 3 points from the median of the others.',
    );
  });
});
