import { roundHalfUp } from '@unhindered/shared-types';
import type { Analysis } from './analysis.ts';

/**
 * Sentences that say what a figure means for these tasks and these reviewers. The bounds .80 and .667 are
 * customary for alpha (Krippendorff; from memory).
 */
const RELIABLE = 0.8;
const TENTATIVE = 0.667;

/** Tasks whose true values spread by less than this share of the scale's width hardly differ (our rule). */
const ALIKE_SHARE = 0.1;
const CLOSE_PAIRS = 0.8;

const two = (x: number): string => roundHalfUp(x, 2);
const percent = (share: number): string => `${roundHalfUp(100 * share, 0)} %`;

/** What the agreement says, alpha never alone. */
export const agreementReading = ({ agreement, tasks, variance, scale }: Analysis): string => {
  const alpha = agreement.alpha.ordinal;
  const close = agreement.within_one_pairs;
  const pairs = close === null ? '' : ` ${percent(close)} of pairs lie within one point.`;
  if (alpha === null)
    return `Alpha is not defined: ${agreement.alpha.notes?.['ordinal'] ?? ''}.${pairs}`;
  if (alpha >= RELIABLE) return `The reviewers tell the tasks apart alike.${pairs}`;
  const spread = variance.reml ? Math.sqrt(variance.reml.task) / (scale.max - scale.min) : 1;
  if (close !== null && close >= CLOSE_PAIRS && spread < ALIKE_SHARE) {
    return `Alpha is low because the tasks hardly differ, not because the reviewers do:${pairs}`;
  }
  if (alpha >= TENTATIVE) {
    return `Good enough for tentative conclusions, not for fine differences.${pairs}`;
  }
  const talk = tasks.some((t) => t.flags.length > 0) ? ' Talk the divergent ones through.' : '';
  return `The reviewers do not tell the tasks apart alike.${talk}${pairs}`;
};

/** How many more reviewers a dependable result would take. */
export const dependabilityReading = ({ dependability: d }: Analysis): string => {
  if (d.phi === null || d.reviewers_for_phi_80 === null) {
    return `Not estimable: ${d.notes?.['phi'] ?? 'no figure'}.`;
  }
  const more = d.reviewers_for_phi_80 - d.reviewers;
  if (more <= 0)
    return `Dependable at .80: phi ${two(d.phi)} with ${String(d.reviewers)} reviewers.`;
  const whom = more === 1 ? 'one more reviewer' : `${String(more)} more reviewers`;
  return `Phi ${two(d.phi)}: with ${whom} the result would be dependable at .80.`;
};

/** Whose absence would move the composite by a twentieth of the scale's width, or change a flag. */
export const absenceReading = (
  reviewer: Analysis['reviewers'][number],
  scale: Analysis['scale'],
): string => {
  const { composite_change: change, flags_gone: gone, flags_new: begun } = reviewer.without;
  const parts: string[] = [];
  if (change !== null && Math.abs(change) >= 0.05 * (scale.max - scale.min)) {
    parts.push(`moves the composite by ${change > 0 ? '+' : ''}${two(change)}`);
  }
  if (gone.length > 0) parts.push(`settles ${gone.join(', ')}`);
  if (begun.length > 0) parts.push(`opens ${begun.join(', ')}`);
  return parts.join('; ');
};
