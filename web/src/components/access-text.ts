import type { AccessShown, LimitsShown } from '@unhindered/shared-types';
import { durationText } from '../format/duration.ts';
import { percent, rounded } from '../format/number.ts';
import { words } from '../words/access.ts';
import { reasonText } from '../words/en/reasons.ts';

/** Seconds in words, whole where nothing else was measured. */
export const wholeSeconds = (seconds: number): string => words.access.seconds(rounded(seconds, 0));

/** Limits of a share. */
export const shareLimits = (limits: LimitsShown): string =>
  'why' in limits
    ? reasonText(limits.why)
    : words.access.limits(percent(limits.lower), percent(limits.upper));

/** The median time, or that half never get there. */
export const medianText = ({ median }: AccessShown): string =>
  'value' in median ? durationText(median.value) : words.access.notReached;

/** The limits of the median; an end that was not reached is said. */
export const medianLimitsText = ({ medianLimits: limits }: AccessShown): string => {
  if ('why' in limits) return reasonText(limits.why);
  const end = (seconds: number | null): string =>
    seconds === null ? words.access.notReached : durationText(seconds);
  return words.access.limits(end(limits.lower), end(limits.upper));
};
