import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';
import type { Chance } from './agreement-figures.ts';
import { mixedSeed } from './mixed-seed.ts';

/** Named in the output, so that resampled figures can be drawn again. */
export const GENERATOR = 'pure-rand 8.4.2, xoroshiro128plus, state by splitmix32';

/** Streams of numbers in [0, 1) from a 32-bit seed; each stream starts anew. */
export const seededChance = (seed: number): Chance => ({
  seed,
  stream: () => {
    const generator = xoroshiro128plusFromState(mixedSeed(seed));
    return () => uniformFloat64(generator);
  },
});
