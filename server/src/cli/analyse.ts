import { analysisText } from '../analysis/analysis-text.ts';
import { analyse } from '../analysis/analyse.ts';
import type { RatingList } from '../analysis/rating-list.ts';
import { ratingSource } from '../analysis/rating-source.ts';
import { readRatingList } from '../analysis/read-rating-list.ts';
import { seededChance } from '../analysis/seeded-chance.ts';
import type { RatingScale } from '../consensus/table.ts';
import { readFlags, UsageError } from './read-flags.ts';
import { readText } from './read-text.ts';
import { plural } from '../report/words.ts';

const MOST_BYTES = 50_000_000;

/** One seed for everybody: the same file gives the same output. */
const DEFAULT_SEED = 20260101;

const options = (argv: readonly string[]) =>
  readFlags(argv, {
    allowPositionals: true,
    options: {
      scale: { type: 'string', default: '0:5' },
      better: { type: 'string', default: 'lower' },
      seed: { type: 'string', default: String(DEFAULT_SEED) },
      exploratory: { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
    },
  });

const scaleOf = (text: string, better: string): RatingScale => {
  const [, low, high] = /^(-?\d{1,3}):(-?\d{1,3})$/u.exec(text) ?? [];
  const min = Number(low ?? Number.NaN);
  const max = Number(high ?? Number.NaN);
  if (!(max - min >= 1 && max - min <= 10)) {
    throw new UsageError('--scale takes MIN:MAX, whole numbers with 2 to 11 points, such as 0:5.');
  }
  if (better !== 'lower' && better !== 'higher') {
    throw new UsageError('--better takes lower or higher.');
  }
  return { min, max, better };
};

const seedOf = (text: string): number => {
  const seed = Number(text);
  if (/^\d{1,10}$/u.test(text) && seed < 2 ** 32) return seed;
  throw new UsageError('--seed takes a whole number below 4294967296.');
};

const MOST_FAULTS = 200;

const tellFaults = (file: string, list: RatingList & { ok: false }): void => {
  for (const { line, column, fault, remedy } of list.faults.slice(0, MOST_FAULTS)) {
    const place = column === '' ? '' : `, column ${column}`;
    process.stderr.write(`${file} line ${String(line)}${place}: ${fault}. ${remedy}\n`);
  }
  const more = list.faults.length - MOST_FAULTS;
  if (more > 0) process.stderr.write(`and ${String(more)} more.\n`);
  process.stderr.write(`${plural(list.faults.length, 'fault', 'faults')}; nothing was computed.\n`);
};

/** `analyse FILE.csv`: figures of ratings collected anywhere; 0 good, 2 unreadable or faulty input. */
export const analyseCommand = (argv: readonly string[]): Promise<number> => {
  const { values, positionals } = options(argv);
  const [file, ...rest] = positionals;
  if (file === undefined || rest.length > 0) throw new UsageError('analyse takes one CSV file.');
  const scale = scaleOf(values.scale, values.better);
  const chance = seededChance(seedOf(values.seed));
  const read = readText(file, MOST_BYTES);
  if ('why' in read) {
    process.stderr.write(`${file} ${read.why}.\n`);
    return Promise.resolve(2);
  }
  const list = readRatingList(read.text, scale);
  if (!list.ok) {
    tellFaults(file, list);
    return Promise.resolve(2);
  }
  const source = ratingSource(list.ratings, scale);
  const analysis = analyse(source, chance, { exploratory: values.exploratory });
  const text = values.json ? JSON.stringify(analysis) : analysisText(analysis, source).join('\n');
  process.stdout.write(`${text}\n`);
  return Promise.resolve(0);
};
