/** A way in which a simulated panel rates one task. */
export interface Scenario {
  name: string;
  /** Standard deviation of a reviewer's noise, points. */
  sd?: number;
  /** One reviewer shifted by so many points towards the open side. */
  dissent?: number;
  /** Half the panel (rounded down) so many points below the rest, both camps on the scale. */
  split?: number;
  /** Ratings drawn evenly from the scale. */
  uniform?: boolean;
}

const TOP = 5;
const onScale = (x: number): number => Math.min(TOP, Math.max(0, Math.round(x)));

/** Standard normal numbers from uniform ones. Source: Box & Muller 1958. */
const normal = (random: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

/** One task rated by `reviewers` on 0..5. */
export const simulatedPanel = (
  { sd = 0, dissent = 0, split = 0, uniform = false }: Scenario,
  reviewers: number,
  random: () => number,
): number[] => {
  if (uniform) return Array.from({ length: reviewers }, () => Math.floor(random() * (TOP + 1)));
  // Two camps fit on the scale: the upper one lies between `split` and the top.
  const latent = split > 0 ? split + (TOP - split) * random() : 0.5 + 4 * random();
  const open = latent < TOP / 2 ? 1 : -1;
  const half = Math.floor(reviewers / 2);
  return Array.from({ length: reviewers }, (_, j) => {
    const shift = (j === 0 ? dissent * open : 0) - (j < half ? split : 0);
    return onScale(latent + shift + sd * normal(random));
  });
};
