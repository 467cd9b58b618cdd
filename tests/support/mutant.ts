import type { Plugin } from 'vite';

/** One constant of one source file, and what stands in its place in a mutated run. */
export interface Mutant {
  /** Path from the project's root. */
  file: string;
  start: number;
  end: number;
  original: string;
  replacement: string;
}

/** Serves the mutated source to the tests; nothing on disk changes. */
export const mutantPlugin = (mutant: Mutant): Plugin => ({
  name: 'mutant',
  enforce: 'pre',
  transform(code, id) {
    if (!id.endsWith(`/${mutant.file}`)) return null;
    if (code.slice(mutant.start, mutant.end) !== mutant.original) {
      throw new Error(`${mutant.file} does not hold ${mutant.original} where it should`);
    }
    return code.slice(0, mutant.start) + mutant.replacement + code.slice(mutant.end);
  },
});
