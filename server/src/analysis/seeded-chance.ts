import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { Chance } from './agreement-figures.ts';

/** Named in the output, so that resampled figures can be drawn again. */
export const GENERATOR = 'pure-rand 8.4.2, xoroshiro128plus';

/** Streams of numbers in [0, 1) from a 32-bit seed; each stream starts anew. */
export const seededChance = (seed: number): Chance => ({
  seed,
  stream: () => {
    const generator = xoroshiro128plus(seed);
    return () => uniformFloat64(generator);
  },
});
