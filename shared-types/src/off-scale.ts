/** Answers that stand off the scale. None is ever averaged in. */
export const OFF_SCALE = ['not-applicable', 'not-observed', 'abstained'] as const;
