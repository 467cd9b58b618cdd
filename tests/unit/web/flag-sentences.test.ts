import type { SeatSlice, ShownFlag, TaskSlice } from '@unhindered/shared-types';
import { expect, test } from 'vitest';
import { defaultRule } from '../../../server/src/consensus/divergence-rule.ts';
import { ratingFlags } from '../../../server/src/consensus/divergence.ts';
import { flagSentences } from '../../../web/src/components/datum.ts';

const SCALE = { min: 0, max: 5, better: 'lower' } as const;

/** What the desk says of ratings given by the seats A, B, C, and so on. */
const said = (values: number[]): string[] => {
  const steps = values.map((value, j) => ({ reviewer: String.fromCharCode(65 + j), value }));
  const flags = ratingFlags({ steps, notApplicable: [], critical: [] }, defaultRule(SCALE));
  const shown = flags.map((f): ShownFlag => ({ ...f, seats: f.reviewers }));
  const seats = steps.map((s) => ({ seat: s.reviewer, letter: s.reviewer, name: '' }) as SeatSlice);
  return flagSentences({ flags: shown, n: values.length } as TaskSlice, seats);
};

test('of 0, 0, 5 the desk points at the 5 alone', () => {
  const [sentence = ''] = said([0, 0, 5]);
  expect(sentence).toContain('C stands 5 steps');
  expect(sentence).not.toMatch(/\bA\b|\bB\b/u);
});

test('half the panel at either end is not a row of lone voices', () => {
  expect(said([0, 0, 5, 5])[0]).toBe(
    'The panel falls into camps, up to 5 steps from the others’ median.',
  );
});

test('of two reviewers nobody stands apart', () => {
  expect(said([0, 4])).toEqual(['The two reviewers lie 4 steps apart.']);
});
