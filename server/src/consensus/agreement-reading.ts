/** What the agreement figures of one table say together. */
export type AgreementReading =
  'undefined' | 'alike' | 'tasks-hardly-differ' | 'tentative' | 'apart';

/** Customary bounds of alpha (Krippendorff; from memory). */
const RELIABLE = 0.8;
const TENTATIVE = 0.667;

/** Tasks whose true values spread by less than this share of the scale's width hardly differ (our rule). */
const ALIKE_SHARE = 0.1;
const CLOSE_PAIRS = 0.8;

/**
 * Alpha is never read alone: it falls when the tasks hardly differ although the reviewers agree. `withinOne` is
 * the share of pairs within a point, `taskSpread` the standard deviation of the tasks' true values as a share
 * of the scale's width; both undefined when unknown.
 */
export const agreementReading = (
  alpha: number | undefined,
  withinOne: number | undefined,
  taskSpread: number | undefined,
): AgreementReading => {
  if (alpha === undefined) return 'undefined';
  if (alpha >= RELIABLE) return 'alike';
  const close = (withinOne ?? 0) >= CLOSE_PAIRS;
  if (close && (taskSpread ?? 1) < ALIKE_SHARE) return 'tasks-hardly-differ';
  return alpha >= TENTATIVE ? 'tentative' : 'apart';
};
