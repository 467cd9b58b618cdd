import { roundHalfUp } from '@unhindered/shared-types';
import type { Flag } from './divergence.ts';

const list = (names: readonly string[]): string =>
  names.length < 2
    ? names.join('')
    : `${names.slice(0, -1).join(', ')} and ${names.slice(-1).join('')}`;

const verb = (names: readonly string[], one: string, more: string): string =>
  names.length === 1 ? one : more;

const points = (size: number): string =>
  `${roundHalfUp(size, 2).replace(/\.?0+$/u, '')} ${size === 1 ? 'point' : 'points'}`;

const loneVoice = (flag: Flag, named: readonly string[]): string => {
  if (flag.ratings === 2) return `Two reviewers, ${points(flag.size)} apart: ${list(named)}.`;
  // Half the panel or more cannot each be alone: that is a panel in camps.
  if (named.length === 0 || 2 * named.length >= flag.ratings) {
    return `The panel falls into camps, up to ${points(flag.size)} from the median of the others.`;
  }
  const far = named.length === 1 ? '' : 'up to ';
  const stand = verb(named, 'stands', 'stand');
  return `${list(named)} ${stand} ${far}${points(flag.size)} from the median of the others.`;
};

/** One plain English sentence for a flag. `nameOf` turns a reviewer's id into what readers know them by. */
export const flagSentence = (
  flag: Flag,
  nameOf = (reviewer: string): string => reviewer,
): string => {
  const named = flag.apart.map(nameOf);
  switch (flag.kind) {
    case 'lone-voice':
      return loneVoice(flag, named);
    case 'split-panel':
      return flag.ratings === 2
        ? `Two reviewers, ${points(flag.size)} apart.`
        : `The panel is split: the ratings lie up to ${points(flag.size)} apart.`;
    case 'critical-failure-dispute':
      return `${list(named)} ${verb(named, 'proposes', 'propose')} a critical failure; others who rated do not.`;
    case 'applicability-dispute':
      return `Some rate the task and some say it does not apply: ask ${list(named)}.`;
    case 'evidence-against-rating':
      return `The measured trials speak against the rating of ${list(named)}.`;
  }
};
