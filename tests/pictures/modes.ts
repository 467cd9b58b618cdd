/** What a screen is looked at in: every way of each dimension that people may have set. */
export const DIMENSIONS = {
  width: [360, 1280, 1920],
  shown: ['light', 'dark', 'sun'],
  text: [100, 200],
  motion: ['usual', 'reduced'],
  colours: ['own', 'forced'],
} as const;

type Dimensions = typeof DIMENSIONS;
/** One way of every dimension: a width in px, how it is shown, size of text in %, motion, whose colours. */
export type Mode = { readonly [D in keyof Dimensions]: Dimensions[D][number] };

const NAMES = Object.keys(DIMENSIONS) as (keyof Dimensions)[];

/** Every combination, in a fixed order. */
export const everyMode = (): Mode[] =>
  NAMES.reduce<Partial<Mode>[]>(
    (modes, name) =>
      modes.flatMap((mode) => DIMENSIONS[name].map((way) => ({ ...mode, [name]: way }))),
    [{}],
  ) as Mode[];

/** The pairs of ways that a mode shows together. */
export const pairsOf = (mode: Mode): string[] =>
  NAMES.flatMap((a, i) =>
    NAMES.slice(i + 1).map((b) => `${a} ${String(mode[a])}, ${b} ${String(mode[b])}`),
  );

/**
 * A short list of modes in which every pair of ways occurs together at least once: each step takes the mode with the most
 * pairs not yet seen, the first of equals. The narrowest screen with the largest text comes first, as it breaks most.
 */
export const pairwiseModes = (): Mode[] => {
  const all = everyMode();
  const worst = all.find((m) => m.width === 360 && m.text === 200);
  const missing = new Set(all.flatMap(pairsOf));
  const chosen: Mode[] = [];
  const gain = (mode: Mode): number => pairsOf(mode).filter((pair) => missing.has(pair)).length;
  while (missing.size > 0) {
    const best = all.reduce((a, b) => (gain(b) > gain(a) ? b : a));
    const next = chosen.length === 0 && worst ? worst : best;
    chosen.push(next);
    for (const pair of pairsOf(next)) missing.delete(pair);
  }
  return chosen;
};

/** A mode in a few words, as file names carry it. */
export const modeName = (mode: Mode): string =>
  [
    String(mode.width),
    mode.shown,
    `text${String(mode.text)}`,
    ...(mode.motion === 'reduced' ? ['still'] : []),
    ...(mode.colours === 'forced' ? ['forced'] : []),
  ].join('-');
