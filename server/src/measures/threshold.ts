import type { ShownThreshold } from '@unhindered/shared-types';
import type { CatalogueMeasure } from './catalogue.ts';

const LABELS: Record<Exclude<CatalogueMeasure['basis'], null>, string> = {
  seen: 'published',
  quoted: 'published, seen only as quoted elsewhere',
  memory: 'from memory, not checked against a source',
  practice: 'common practice, no source',
  house: 'house value',
};

/**
 * ME-1: a threshold from memory, from practice or of the house's own making is never shown as a published fact: its
 * label says what it rests on. Undefined when the measure has no threshold.
 */
export const shownThreshold = (
  measure: Pick<CatalogueMeasure, 'threshold' | 'basis' | 'source'>,
): ShownThreshold | undefined => {
  const { threshold, basis, source } = measure;
  if (threshold === null) return undefined;
  if (basis === null) return { published: false, text: threshold, label: LABELS.house };
  const published = (basis === 'seen' || basis === 'quoted') && source !== null;
  const label = LABELS[basis];
  return { published, text: threshold, label: source === null ? label : `${label}: ${source}` };
};
