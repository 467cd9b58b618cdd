import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** What a door did with a hostile input; see the corpus README. */
export type Outcome =
  'rejected-with-clear-error' | 'ignored' | 'accepted-sanitised' | 'accepted-unchanged';

export interface HostileCase {
  id: string;
  channel: string;
  class: string;
  title: string;
  target: string | null;
  expect: Outcome[];
  asserts: string[];
  file?: string;
  generate?: Record<string, string | number>;
  meta?: {
    as?: string;
    contentType?: string;
    contentEncoding?: string;
    contentLength?: number;
    origin?: string;
    query?: string;
    extraHeaders?: number;
    headers?: Record<string, string | number | boolean>;
    frame?: string;
    repeat?: number;
  };
}

export interface Corpus {
  directory: string;
  /** The whole corpus, or the copies that stand in the repository. */
  whole: boolean;
  cases: HostileCase[];
}

const read = (directory: string): HostileCase[] =>
  (JSON.parse(readFileSync(join(directory, 'index.json'), 'utf8')) as { cases: HostileCase[] })
    .cases;

/** Cases of the whole corpus: 266. */
export const WHOLE = 266;

/**
 * The copies in fixtures/hostile; with CORPUS=whole, or cases named by CASE, the corpus beside the repository when it
 * is there.
 */
export const readCorpus = (): Corpus => {
  const root = join(import.meta.dirname, '../..');
  const outside = join(root, '../shared/corpus/open');
  const only = process.env['CASE']?.split(',');
  const asked = process.env['CORPUS'] === 'whole' || only !== undefined;
  const whole = asked && existsSync(join(outside, 'index.json'));
  const directory = whole ? outside : join(root, 'fixtures/hostile');
  const cases = read(directory).filter(
    (c) => only === undefined || only.some((part) => c.id.includes(part)),
  );
  return { directory, whole, cases };
};
