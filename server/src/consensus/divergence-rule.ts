import { pointCount, type RatingScale } from './table.ts';

/** Constants of a divergence rule, in scale points. `split` is null for rules that look at one voice only. */
export interface DivergenceConstants {
  id: 'D1' | 'strict' | 'lenient';
  /** Distance at which one rating stands apart (D1, lenient), or range at which a task diverges (strict). */
  lone: number;
  /** Average deviation from the median above which the panel is split. */
  split: number | null;
}

/**
 * D1 on any scale: half its width, and the published cut of the average deviation (points / 6). On 0..5: 2.5
 * and 1.0, at which 2 to 4 % of honest panels of 3 to 12 reviewers are flagged (noise of 0.75 points, simulated).
 */
export const defaultRule = (scale: RatingScale): DivergenceConstants => ({
  id: 'D1',
  lone: (scale.max - scale.min) / 2,
  split: pointCount(scale) / 6,
});

/** More flags, also false ones in large panels: the range reaches three fifths of the width (3 on 0..5). */
export const strictRule = (scale: RatingScale): DivergenceConstants => ({
  id: 'strict',
  lone: (3 * (scale.max - scale.min)) / 5,
  split: null,
});

/** Fewer flags: some rating is three fifths of the width from the median of all. */
export const lenientRule = (scale: RatingScale): DivergenceConstants => ({
  ...strictRule(scale),
  id: 'lenient',
});
