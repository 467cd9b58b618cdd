import type { SeriesGaps } from '@unhindered/shared-types';

/** House rule: a series with more than this share missing is not valid. */
const MAX_GAP_SHARE = 0.1;
const MAX_LISTED = 100;

const reason = (samples: number, share: number): string | undefined => {
  if (samples < 2) return 'fewer than two samples';
  if (share <= MAX_GAP_SHARE) return undefined;
  return `${(share * 100).toFixed(1)} % of the samples are missing, more than a tenth`;
};

/**
 * ME-6: a series with more than a tenth of its samples missing is never shown as valid. Samples are lost where the
 * time jumps by more than one and a half intervals of the declared rate (per second), or where they are marked by
 * `miss`. Times must not fall.
 */
export const seriesGaps = (rate: number) => {
  const gaps: SeriesGaps['gaps'] = [];
  let samples = 0;
  let missing = 0;
  let lastAt: number | undefined;
  let lastGood: number | undefined;
  let open = 0;

  /** Samples that a jump to `seconds` leaps over. */
  const leapt = (seconds: number): number => {
    const intervals = lastAt === undefined ? 1 : (seconds - lastAt) * rate;
    lastAt = seconds;
    return intervals > 1.5 ? Math.round(intervals) - 1 : 0;
  };
  const close = (to: number): void => {
    if (open === 0) return;
    missing += open;
    if (gaps.length < MAX_LISTED) gaps.push({ from: lastGood ?? to, to, missing: open });
    open = 0;
  };
  return {
    add: (seconds: number): void => {
      open += leapt(seconds);
      close(seconds);
      lastGood = seconds;
      samples += 1;
    },
    /** A sample that should have been at `seconds`, and is lost. */
    miss: (seconds: number): void => {
      open += leapt(seconds) + 1;
    },
    end: (): SeriesGaps => {
      close(lastAt ?? 0);
      const gapShare = samples + missing === 0 ? 0 : missing / (samples + missing);
      const why = reason(samples, gapShare);
      return { samples, missing, gapShare, gaps, valid: why === undefined, why };
    },
  };
};
