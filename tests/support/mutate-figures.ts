import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import ts from 'typescript';
import { seededChance } from '../../server/src/analysis/seeded-chance.ts';
import type { Mutant } from './mutant.ts';

/**
 * Flips the numbers in the statistics one at a time and runs the tests that reach the file: a flip that no test
 * sees is printed as a survivor. Run: `npm run mutants`; MUTANTS=n takes a sample, SEED=n another one,
 * MUTANTS=named the list below, FILES=part only files whose name holds it, PLACES=file:line,file:line only those lines,
 * TESTS=part,part only tests whose path holds one of them. Exits 1 when there is a survivor.
 */
const ROOM = 'server/src/consensus';
const wanted = process.env['MUTANTS'] ?? 'all';
const seed = Number(process.env['SEED'] ?? 1);

type Excuse = readonly [file: string, line: string, number: string];

/**
 * Numbers whose exact size changes no result: the file, the end of the text before the number on its line, the number.
 * Each group says why.
 */
const EXCUSED: readonly Excuse[] = [
  // A panel of 8 needs as many by the rule below the table as by the table's own.
  ['appropriateness.ts', 'const TABLE_FROM = ', '8'],
  // How many orders are drawn when nobody says how many: more draws, the same p within its printed error.
  ['kendall-permutation.ts', 'draws = ', '10_000'],
  // Where a fit starts, how it gets to where it ends, and when it gives up: the end is where the score is zero.
  ['reml.ts', 'const EM_STEPS = ', '4'],
  ['reml.ts', 'const MAX_STEPS = ', '400'],
  ['reml.ts', 'return -', '0.5'],
  ['reml.ts', 'score.push(-', '0.5'],
  ['reml.ts', '), v / ', '1000'],
  ['reml.ts', 'length /= ', '2'],
  ['reml.ts', 'for (let length = ', '1'],
  ['reml.ts', 'direction.length > ', '0'],
  ['reml.ts', 'for (let i = ', '0'],
  ['reml.ts', '** 2)) / (y.length - ', '1'],
  ['reml.ts', 'new Array<number>(active.length + ', '1'],
  ['reml.ts', '.fill(variance / (active.length + ', '1'],
  ['reml.ts', 'const slack = 1e-10 * (', '1'],
  ['rating-scale-model.ts', '[[task, ', '1'],
  ['rating-scale-model.ts', 'range(n, ', '0'],
  ['rating-scale-model.ts', 'range(n, 0, -', '1'],
  ['rating-scale-model.ts', '[[n + reviewer, -', '1'],
  ['rating-scale-model.ts', 'range(k, n, ', '1'],
  ['rating-scale-model.ts', '(c > k ? c * x : ', '0'],
  ['rating-scale-model.ts', 'reviewers - 1 + top).fill(', '0'],
  ['rating-scale-model.ts', 'const length = largest > ', '1'],
  ['rating-scale-model.ts', 'const length = largest > 1 ? ', '1'],
  ['rating-scale-model.ts', 'largest > 1 ? 1 / largest : ', '1'],
  // A component at the border ends the fit at once or after it has stood still: it is the same component.
  ['reml.ts', 'if (border >= ', '0'],
  // Without any factor nothing is absorbed: there is no diagonal to add to, and what all fitted values have in common is
  // lost in values that sum to zero. A factor has two levels at least.
  ['mixed-model-equations.ts', 'design.absorbed < 0 ? ', '0'],
  ['mixed-model-equations.ts', '(own[design.own[row] ?? 0] ?? 0) : ', '0'],
  ['mixed-model-equations.ts', '(own.length > ', '0'],
  // Any negative number stands for "none".
  ['reml.ts', '{ ...fit, border: -', '1'],
  ['mixed-model-design.ts', ' ? i : best), -', '1'],
  // Every task has as many ratings as the first one, or there is no test.
  ['fleiss.ts', 'const m = o.tasks[', '0'],
];

/** A noise floor: a power of ten far below half a point, or anything a figure is printed to. */
const isNoise = (node: ts.NumericLiteral): boolean =>
  /e-\d+$/u.test(node.getText()) && Number(node.text) <= 1e-4;

/** What stands in for an index that is never read out of reach: the compiler asks for it, nothing uses it. */
const isFallback = (node: ts.NumericLiteral): boolean =>
  ts.isBinaryExpression(node.parent) &&
  node.parent.operatorToken.kind === ts.SyntaxKind.QuestionQuestionToken &&
  node.parent.right === node;

/** Any row of a rectangular table has the length of the first one. */
const isRowOfLength = (node: ts.NumericLiteral): boolean => {
  let at: ts.Node = node.parent;
  if (!ts.isElementAccessExpression(at) || at.argumentExpression !== node) return false;
  while (ts.isElementAccessExpression(at.parent)) at = at.parent;
  return ts.isPropertyAccessExpression(at.parent) && at.parent.name.text === 'length';
};

/** Bound and first number of a loop that stops by its own condition long before. */
const isLoopBound = (node: ts.NumericLiteral): boolean => {
  for (let at: ts.Node = node; !ts.isBlock(at) && !ts.isSourceFile(at); at = at.parent) {
    if (!ts.isForStatement(at.parent)) continue;
    const { condition, initializer } = at.parent;
    return (at === condition || at === initializer) && /< \d+/u.test(condition?.getText() ?? '');
  }
  return false;
};

const isExcused = (node: ts.NumericLiteral, file: string, before: string): boolean =>
  isNoise(node) ||
  isFallback(node) ||
  isLoopBound(node) ||
  isRowOfLength(node) ||
  EXCUSED.some(
    ([name, text, number]) => name === file && number === node.getText() && before.endsWith(text),
  );

/** What every run of the checks flips: the number named, in the line that holds the text. */
const NAMED: readonly (readonly [file: string, line: string, number: string])[] = [
  ['divergence-rule.ts', 'lone: (scale.max - scale.min) / 2', '2'],
  ['divergence-rule.ts', 'split: pointCount(scale) / 6', '6'],
  ['krippendorff-alpha.ts', 'c.total - 1', '1'],
  ['composite.ts', 'PROVISIONAL_BELOW = 0.6', '0.6'],
  ['composite-of-means.ts', 'k < 3', '3'],
  ['algorithm-a.ts', 'return 1.483 *', '1.483'],
  ['appropriateness.ts', 'range: (2.35', '2.35'],
  ['kendall-w.ts', '(12 * s) / below', '12'],
];

const mutantsOf = (file: string): Mutant[] => {
  const path = `${ROOM}/${file}`;
  const text = readFileSync(path, 'utf8');
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  const found: Mutant[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isNumericLiteral(node) && !ts.isLiteralTypeNode(node.parent)) {
      const start = node.getStart();
      const original = text.slice(start, node.end);
      const before = text.slice(text.lastIndexOf('\n', start) + 1, start);
      const value = Number(node.text);
      if (!isExcused(node, file, before)) {
        const replacement = Number.isInteger(value) ? String(value + 1) : String(value * 1.25);
        found.push({ file: path, start, end: node.end, original, replacement });
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
};

const placeOf = ({ file, start, original, replacement }: Mutant): string => {
  const before = readFileSync(file, 'utf8').slice(0, start).split('\n');
  const line = before.at(-1)?.trimStart() ?? '';
  return `${file}:${String(before.length)} ${original} -> ${replacement} after "${line}"`;
};

type Outcome = 'caught' | 'SURVIVED' | 'by the clock';

/** What becomes of a mutant: a test that fails, none, or only tests that did not end in time. */
const outcomeOf = (mutant: Mutant): Promise<Outcome> =>
  new Promise((resolve) => {
    const chosenTests = process.env['TESTS']?.split(',') ?? [];
    const run =
      chosenTests.length > 0 ? ['run', ...chosenTests] : ['related', mutant.file, '--run'];
    const args = ['vitest', ...run, '--root', '.', '--config'];
    const only = ['--project', 'core', '--bail', '1', '--testTimeout', '20000'];
    const child = spawn('npx', [...args, 'tests/vitest.config.ts', ...only], {
      env: { ...process.env, MUTANT: JSON.stringify(mutant), NO_COLOR: '1' },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let said = '';
    for (const stream of [child.stdout, child.stderr]) {
      stream.on('data', (chunk: Buffer) => (said += chunk.toString()));
    }
    // A flip that makes a loop endless is caught by the clock.
    const late = setTimeout(() => child.kill('SIGKILL'), 120_000);
    child.once('close', (code) => {
      clearTimeout(late);
      const ended = /\bFAIL\b/u.test(said) && !/timed out in/u.test(said);
      if (code === 0) resolve('SURVIVED');
      else resolve(ended ? 'caught' : 'by the clock');
    });
  });

/** The named flips; throws when a line is gone, so that the list stays true. */
const named = (all: readonly Mutant[]): Mutant[] =>
  NAMED.map(([file, line, number]) => {
    const found = all.find((m) => {
      const text = readFileSync(m.file, 'utf8');
      const end = text.indexOf('\n', m.start);
      const own = text.slice(text.lastIndexOf('\n', m.start) + 1, end);
      return m.file === `${ROOM}/${file}` && m.original === number && own.includes(line);
    });
    if (!found) throw new Error(`${file} has no "${line}" with ${number}`);
    return found;
  });

const random = seededChance(seed).stream();
const part = process.env['FILES'] ?? '';
const places = process.env['PLACES']?.split(',');
const all = readdirSync(ROOM)
  .filter((file) => file.includes(part))
  .flatMap(mutantsOf)
  .filter((m) => places?.some((place) => placeOf(m).startsWith(`${ROOM}/${place} `)) ?? true);
const shuffled = all
  .map((mutant) => ({ mutant, at: random() }))
  .toSorted((a, b) => a.at - b.at)
  .map((x) => x.mutant);
const sampled = wanted === 'all' ? shuffled : shuffled.slice(0, Number(wanted));
const chosen = wanted === 'named' ? named(all) : sampled;

const survivors: Mutant[] = [];
const late: Mutant[] = [];
const judge = async (mutant: Mutant, others: boolean): Promise<void> => {
  const outcome = await outcomeOf(mutant);
  if (outcome === 'SURVIVED') survivors.push(mutant);
  // A test may only have been slow beside the others: it is asked again, alone.
  if (outcome === 'by the clock' && others) late.push(mutant);
  process.stdout.write(`${outcome.padEnd(12)} ${placeOf(mutant)}\n`);
};
let next = 0;
const work = async (): Promise<void> => {
  for (let mutant = chosen[next++]; mutant; mutant = chosen[next++]) await judge(mutant, true);
};
await Promise.all(cpus().map(work));
for (const mutant of late) await judge(mutant, false);
process.stdout.write(
  `${String(chosen.length - survivors.length)} of ${String(chosen.length)} flipped constants are caught (${String(all.length)} in all, seed ${String(seed)}).\n`,
);
process.exitCode = survivors.length > 0 ? 1 : 0;
