import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { runProgram } from '../support/program.ts';

const RATINGS = join(import.meta.dirname, '../../fixtures/analysis/ratings.csv');

const file = (name: string, content: string | Buffer): string => {
  const path = join(mkdtempSync(join(tmpdir(), 'unhindered-list-')), name);
  writeFileSync(path, content);
  return path;
};

/** Every path of a JSON value; elements of arrays share one, keys of `notes` are free. */
const paths = (value: unknown, at = ''): string[] => {
  if (Array.isArray(value)) return value.flatMap((x) => paths(x, `${at}[]`));
  if (typeof value !== 'object' || value === null) return [at];
  return Object.entries(value).flatMap(([k, x]) =>
    k === 'notes' ? [] : paths(x, at === '' ? k : `${at}.${k}`),
  );
};

/** Names other programs may rely on: keys are added, none is renamed or dropped. */
const STABLE = `scale.min scale.max scale.better
tasks[].task tasks[].n tasks[].median tasks[].mean tasks[].range tasks[].ad_median tasks[].ad_mean tasks[].a_wg
tasks[].r_wg tasks[].iqr tasks[].flags[].rule tasks[].flags[].reviewers[]
reviewers[].reviewer reviewers[].n reviewers[].severity reviewers[].severity_se reviewers[].mandel_h
agreement.alpha.nominal agreement.alpha.ordinal agreement.alpha.interval agreement.alpha.ratio
agreement.ac1 agreement.ac2_linear agreement.ac2_quadratic agreement.fleiss
agreement.kendall_w.w agreement.kendall_w.chi2 agreement.kendall_w.df agreement.kendall_w.p
agreement.within_one_pairs agreement.exact_pairs
variance.reml.task variance.reml.reviewer variance.reml.residual variance.ems
dependability.g dependability.phi dependability.sem dependability.reviewers_for_phi_80
composite.value composite.lower composite.upper composite.method composite.by_reviewer[].reviewer
composite.by_reviewer[].value composite.leave_one_out[].reviewer composite.leave_one_out[].value`
  .split(/\s+/u)
  .concat(
    ['1,1', '2,1', '3,1', '1,k', '2,k', '3,k'].flatMap((form) =>
      ['estimate', 'f', 'df1', 'df2', 'p', 'lower', 'upper'].map(
        (x) => `agreement.icc.${form}.${x}`,
      ),
    ),
  );

const LATIN = Buffer.concat([
  Buffer.from('task,reviewer,rating\nK\u00e4fig,A,1\nM'),
  Buffer.from([0xfc, 0x0a]),
]);

describe('analyse FILE.csv', () => {
  test('prints the composite, what diverges and why, habits, agreement and dependability', async () => {
    const { code, out, err } = await runProgram(['analyse', RATINGS]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain(
      '4 reviewers rated 6 tasks on 0 to 5, lower is better: 22 ratings, 2 absent.',
    );
    expect(out).toContain(
      'Chest exposed: Reviewer D stands 4 points from the median of the others.',
    );
    expect(out).toMatch(/^ {2}Chest exposed +4 {3}1 +\. +\. \[1 +2\] \. +3\.5/mu);
    expect(out).toMatch(/^ {2}Reviewer D .*absence.*settles Chest exposed/mu);
    expect(out).toMatch(/Krippendorff's alpha, ordinal +0\.\d\d/u);
    expect(out).toContain('an upheld critical failure overrides any composite');
  });

  test('--json keeps its names, and the same file gives the same bytes', async () => {
    const one = await runProgram(['analyse', RATINGS, '--json']);
    const two = await runProgram(['analyse', RATINGS, '--json']);
    expect(one.code).toBe(0);
    expect(one.out).toBe(two.out);
    const found = new Set(paths(JSON.parse(one.out)));
    expect(STABLE.filter((name) => !found.has(name))).toEqual([]);
    // Mean squares need a complete table: there they have their names, elsewhere a reason.
    const rows = ['task,reviewer,rating', 'a,A,0', 'a,B,1', 'b,A,3', 'b,B,5', 'c,A,2', 'c,B,2'];
    const complete = await runProgram(['analyse', file('whole.csv', rows.join('\n')), '--json']);
    const names = paths(JSON.parse(complete.out)).filter((x) => x.startsWith('variance.ems'));
    expect(names).toEqual(['task', 'reviewer', 'residual'].map((x) => `variance.ems.${x}`));
  });

  test('--better and --scale set the scale; --exploratory adds the facet model or says why not', async () => {
    const flags = ['--scale', '0:10', '--better', 'higher', '--exploratory', '--json'];
    const { out } = await runProgram(['analyse', RATINGS, ...flags]);
    const found = JSON.parse(out) as {
      scale: unknown;
      rule: unknown;
      rating_scale_model: { notes: unknown };
    };
    expect(found.scale).toEqual({ min: 0, max: 10, better: 'higher' });
    expect(found.rule).toEqual({ id: 'D1', lone: 5, split: 11 / 6 });
    expect(found.rating_scale_model.notes).toEqual({
      rating_scale_model: 'not every point of the scale was used, or too few tasks or reviewers',
    });
  });

  test('a faulty file: every fault with line, column and remedy, exit 2, nothing on stdout', async () => {
    const path = file('bad.csv', 'task,reviewer,rating\nroll,A,9\n,B,2\nroll,A,1\nroll,C\n');
    const { code, out, err } = await runProgram(['analyse', path]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(
      'line 2, column rating: "9" is not a rating. Write a whole or half point',
    );
    expect(err).toContain('line 3, column task: the name is empty. Name the task.');
    expect(err).toContain('line 5, column rating: 2 cells, the first line has 3. Quote a cell');
    expect(err).toContain('3 faults; nothing was computed.');
  });

  test.each([
    ['no such file', ['nowhere.csv'], 'cannot be read'],
    [
      'not UTF-8',
      [file('latin.csv', LATIN)],
      'line 3, sign 2 is not UTF-8 text: save the file as UTF-8',
    ],
    ['no file', [], 'analyse takes one CSV file'],
    ['two files', [RATINGS, RATINGS], 'analyse takes one CSV file'],
    ['an unknown flag', [RATINGS, '--bogus'], 'bogus'],
    ['an impossible scale', [RATINGS, '--scale', '5:0'], '--scale takes MIN:MAX'],
    ['a scale of 12 points', [RATINGS, '--scale', '0:11'], '--scale takes MIN:MAX'],
    ['an unknown direction', [RATINGS, '--better', 'sideways'], '--better takes lower or higher'],
  ])('%s: exit 2 and what to do', async (_, args, says) => {
    const { code, err } = await runProgram(['analyse', ...args]);
    expect(code).toBe(2);
    expect(err).toContain(says);
  });
});
