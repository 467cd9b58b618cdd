import { render, screen, within } from '@testing-library/svelte';
import { describe, expect, test } from 'vitest';
import { defaultRule } from '../../server/src/consensus/divergence-rule.ts';
import { insight } from '../../server/src/evaluation/insight.ts';
import { answerTable } from '../../server/src/evaluation/table-figures.ts';
import type { AgreementSlice, ProtocolTask, SeatSlice } from '../../shared-types/src/index.ts';
import AgreementBox from '../../web/src/components/AgreementBox.svelte';
import InsightBox from '../../web/src/components/InsightBox.svelte';

const scale = { min: 0, max: 5, better: 'lower' } as const;

/** Cells by task; the reviewers are A, B, C ... */
const questionOf = (cells: (number | undefined)[][]) => {
  const tasks = cells.map((_, i) => `t${String(i + 1)}`);
  const reviewers = (cells[0] ?? []).map((_, j) => String.fromCharCode(65 + j));
  return {
    table: { scale, tasks, reviewers, cells },
    sections: [{ id: 's', weight: 1, tasks: tasks.map((id) => ({ id, weight: 1 })) }],
    rule: defaultRule(scale),
  };
};

/** The moderator's box, drawn from the figures that the server computes of these ratings. */
const show = (cells: (number | undefined)[][]): string => {
  const question = questionOf(cells);
  const { tasks: ids, reviewers } = question.table;
  const tasks = ids.map((id) => ({ id, title: `Task ${id}` }) as ProtocolTask);
  const seats = reviewers.map((letter) => ({ seat: letter, letter }) as SeatSlice);
  render(InsightBox, { insight: insight(question), tasks, seats, rule: question.rule });
  return screen.getByTestId('insight').textContent.replaceAll(/\s+/gu, ' ');
};

describe('what the Desk says of the panel', () => {
  test('a panel that agrees is dependable as it is, and nobody’s absence changes anything', () => {
    const said = show([
      [0, 0, 0, 0],
      [1, 1, 1, 2],
      [3, 3, 3, 3],
      [5, 5, 4, 5],
    ]);
    expect(said).toContain('The reviewers tell the tasks apart alike.');
    expect(said).toMatch(/The result is dependable at \.80 \(now 0\.9\d\)\./u);
    expect(said).toContain('Nobody’s absence would move the composite');
  });

  test('a panel that hardly agrees is told how many more reviewers a dependable result takes', () => {
    const cells = [
      [0, 3, 1],
      [2, 0, 3],
      [4, 2, 5],
      [1, 4, 2],
      [5, 3, 3],
    ];
    const { phi, reviewersNeeded } = insight(questionOf(cells));
    if (!('value' in phi) || !('value' in reviewersNeeded)) throw new Error('not estimable');
    expect(phi.value).toBeLessThan(0.8);
    const more = reviewersNeeded.value - 3;
    // Spearman-Brown on the single-rating dependability, worked here apart from the code that is shown.
    const single = phi.value / (3 - 2 * phi.value);
    expect(more).toBe(Math.ceil((0.8 * (1 - single)) / (0.2 * single)) - 3);
    expect(show(cells)).toContain(
      `With ${String(more)} more reviewers the result would be dependable at .80 (now ${phi.value.toFixed(2)}).`,
    );
  });

  test('a severe reviewer is drawn as such, and the flag that only their habit makes is named', () => {
    const said = show([
      [0, 0, 0, 3],
      [1, 1, 1, 4],
      [2, 2, 2, 5],
      [1, 1, 2, 4],
    ]);
    const row = within(screen.getByTestId('insight')).getByRole('row', { name: /D\b/u });
    expect(row.textContent).toMatch(/\+2\.\d/u);
    expect(said).toMatch(/No longer divergent with each habit taken out: .*Task t1/u);
    expect(said).toMatch(/Without reviewer D: the composite moves by [-−]0\.\d+/u);
    expect(said).toContain('Task t1');
  });

  test('too few ratings: it says why, in a sentence', () => {
    expect(show([[1, 2]])).toContain('Dependability cannot be estimated: too few ratings');
  });
});

describe('the agreement', () => {
  const agreementOf = (cells: (number | undefined)[][]): string => {
    const { table, sections } = questionOf(cells);
    const { alphaOrdinal, withinOne, exact } = answerTable({ table, sections });
    const shown = <T>(
      f: { ok: true; value: T } | { ok: false; why: string },
      of: (v: T) => number,
    ) => (f.ok ? { value: of(f.value) } : { why: f.why });
    const agreement: AgreementSlice = {
      round: 1,
      reviewers: table.reviewers.length,
      tasks: table.tasks.length,
      absent: 0,
      alphaOrdinal: shown(alphaOrdinal, (v) => v),
      withinOne: shown(withinOne, (v) => v.pooled),
      exact: shown(exact, (v) => v.pooled),
      fewReviewers: false,
    };
    const { container, unmount } = render(AgreementBox, { agreement });
    const said = container.textContent.replaceAll(/\s+/gu, ' ');
    unmount();
    return said;
  };

  test('shows alpha with the shares of pairs it is to be read beside', () => {
    const said = agreementOf([
      [0, 0, 1],
      [3, 3, 3],
      [5, 4, 5],
    ]);
    expect(said).toMatch(/Krippendorff’s alpha \(ordinal\): 0\.\d\d/u);
    expect(said).toContain('100 % of rating pairs within one step, 56 % the same');
  });

  test('where a figure is not defined its reason stands in a sentence', () => {
    expect(agreementOf([[0, 0, 1]])).toContain('(ordinal): one task alone says nothing');
    expect(agreementOf([[0, undefined, undefined]])).toContain(
      'Pairs of ratings cannot be compared: no task with two ratings.',
    );
  });
});
