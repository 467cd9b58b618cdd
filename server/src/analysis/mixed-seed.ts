/** 2^32 over the golden ratio, the step between the words of one seed (Steele, Lea & Flood 2014, SplitMix). */
const STEP = 0x9e3779b9;

/** Scrambles a 32-bit word so that each bit of it moves every bit. Source: MurmurHash3's fmix32, Appleby. */
export const scramble = (word: number): number => {
  let h = word | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
};

/**
 * Four words of state from one 32-bit seed, by a counter in steps of the golden ratio, scrambled, as Blackman and
 * Vigna advise for generators of the xoroshiro family: the first numbers of neighbouring seeds are then unlike.
 * At most one word can be 0, so the state that stands still is out of reach.
 */
export const mixedSeed = (seed: number): readonly [number, number, number, number] => {
  const word = (i: number): number => scramble((seed | 0) + Math.imul(i, STEP));
  return [word(1), word(2), word(3), word(4)];
};
