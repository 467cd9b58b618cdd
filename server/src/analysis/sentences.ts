import { roundedBelow, roundHalfUp } from '@unhindered/shared-types';
import { isDecisive } from '../consensus/absence.ts';
import { agreementReading, type AgreementReading } from '../consensus/agreement-reading.ts';
import { figure } from '../consensus/figure.ts';
import type { Analysis } from './analysis.ts';

const two = (x: number): string => roundHalfUp(x, 2);
const percent = (share: number): string => `${roundHalfUp(100 * share, 0)} %`;

/** What the agreement says, alpha never alone. */
export const agreementSentence = ({ agreement, tasks, variance, scale }: Analysis): string => {
  const alpha = agreement.alpha.ordinal;
  const close = agreement.within_one_pairs;
  const spread = variance.reml && Math.sqrt(variance.reml.task) / (scale.max - scale.min);
  const pairs = close === null ? '' : ` ${percent(close)} of pairs lie within one point.`;
  const talk = tasks.some((t) => t.flags.length > 0) ? ' Talk the divergent ones through.' : '';
  const sentences: Record<AgreementReading, string> = {
    undefined: `Alpha is not defined: ${agreement.alpha.notes?.['ordinal'] ?? ''}.`,
    alike: 'The reviewers tell the tasks apart alike.',
    'tasks-hardly-differ':
      'Alpha is low because the tasks hardly differ, not because the reviewers do.',
    tentative: 'Good enough for tentative conclusions, not for fine differences.',
    apart: `The reviewers do not tell the tasks apart alike.${talk}`,
  };
  const reading = agreementReading(alpha ?? undefined, close ?? undefined, spread ?? undefined);
  return sentences[reading] + pairs;
};

/** How many more reviewers a dependable result would take. */
export const dependabilitySentence = ({ dependability: d }: Analysis): string => {
  if (d.phi === null || d.reviewers_for_phi_80 === null) {
    return `Not estimable: ${d.notes?.['phi'] ?? 'no figure'}.`;
  }
  const more = d.reviewers_for_phi_80 - d.reviewers;
  if (more <= 0)
    return `Dependable at .80: phi ${two(d.phi)} with ${String(d.reviewers)} reviewers.`;
  const whom = more === 1 ? 'one more reviewer' : `${String(more)} more reviewers`;
  return `Phi ${roundedBelow(d.phi, 0.8)}: with ${whom} the result would be dependable at .80.`;
};

/** Whose absence would move the composite by a twentieth of the scale's width, or change a flag. */
export const absenceWords = (
  reviewer: Analysis['reviewers'][number],
  scale: Analysis['scale'],
): string => {
  const { composite_change: change, flags_gone: gone, flags_new: begun } = reviewer.without;
  const parts: string[] = [];
  if (change !== null && isDecisive(figure(change), scale)) {
    parts.push(`moves the composite by ${change > 0 ? '+' : ''}${two(change)}`);
  }
  if (gone.length > 0) parts.push(`settles ${gone.join(', ')}`);
  if (begun.length > 0) parts.push(`opens ${begun.join(', ')}`);
  return parts.join('; ');
};
