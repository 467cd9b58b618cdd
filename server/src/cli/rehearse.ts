import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { roundHalfUp } from '@unhindered/shared-types';
import { rehearseEvaluation, type RehearsalOutcome } from '../rehearse/rehearsal.ts';
import { startServer, type Running } from './compose.ts';
import { readConfig } from './config.ts';
import { readFlags, UsageError } from './read-flags.ts';

const number = (text: string | undefined, otherwise: number, flag: string): number => {
  const value = text === undefined ? otherwise : Number(text);
  if (!Number.isFinite(value) || value < 0)
    throw new UsageError(`${flag} is a number, not "${text ?? ''}".`);
  return value;
};

const options = (argv: readonly string[]) =>
  readFlags(argv, {
    options: {
      url: { type: 'string' },
      'sign-in-link': { type: 'string' },
      reviewers: { type: 'string' },
      seed: { type: 'string' },
      pace: { type: 'string' },
      bundle: { type: 'string' },
      json: { type: 'boolean' },
    },
  }).values;

const shown = (figure: { value: string } | { undefinedBecause: string }): string =>
  'value' in figure ? roundHalfUp(Number(figure.value), 2) : `none (${figure.undefinedBecause})`;

const print = (o: RehearsalOutcome): void => {
  const { result, root } = o.locked;
  const { kind, tasks } = result.verdict;
  const words =
    kind === 'care-was-blocked'
      ? `care was blocked at: ${tasks.join(', ')}`
      : 'no confirmed critical failure';
  const { interval } = result.means;
  const range =
    'lower' in interval
      ? `${roundHalfUp(Number(interval.lower), 2)} to ${roundHalfUp(Number(interval.upper), 2)}`
      : `none (${interval.undefinedBecause})`;
  process.stdout.write(
    [
      `Verdict: ${words}`,
      `Composite of settled values: ${shown(result.composite.value)} steps of hindrance`,
      `Composite of mean ratings: ${shown(result.means.value)}, 95 % t interval ${range}`,
      `Agreement (Krippendorff's alpha, ordinal): ${shown(result.alphaOrdinal)}`,
      `Log head: ${root.slice(0, 16)}`,
      'All of this is invented.',
      '',
    ].join('\n'),
  );
};

/** `rehearse`: a whole invented evaluation, against a running server or one of its own in a temporary place. */
export const rehearse = async (argv: readonly string[]): Promise<number> => {
  const flags = options(argv);
  const link = flags['sign-in-link'];
  if ((flags.url === undefined) !== (link === undefined)) {
    throw new UsageError('--url and --sign-in-link go together.');
  }
  const directory = mkdtempSync(join(tmpdir(), 'unhindered-rehearsal-'));
  let own: Running | undefined;
  try {
    if (flags.url === undefined) {
      own = await startServer(
        readConfig(['--port', '0', '--data-dir', directory, '--log-level', 'error'], {}),
        directory,
      );
    }
    const outcome = await rehearseEvaluation({
      url: flags.url ?? own?.url ?? '',
      signInLink: link ?? own?.signInLink ?? '',
      reviewers: number(flags.reviewers, 5, '--reviewers'),
      seed: number(flags.seed, 20260101, '--seed'),
      pace: number(flags.pace, 0, '--pace'),
      say: (line) => {
        if (flags.json !== true) process.stdout.write(`${line}\n`);
      },
    });
    if (flags.bundle !== undefined) writeFileSync(flags.bundle, outcome.bundle);
    if (flags.json === true) {
      const { bundle, ...rest } = outcome;
      process.stdout.write(`${JSON.stringify({ ...rest, bundleBytes: bundle.length })}\n`);
    } else print(outcome);
    return 0;
  } finally {
    await own?.close();
    rmSync(directory, { recursive: true, force: true });
  }
};
