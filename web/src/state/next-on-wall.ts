import type { PanelView, Stage } from '@unhindered/shared-types';

const OVER: readonly Stage[] = ['locked', 'withdrawn'];

/**
 * WA-4: the evaluation of its panel that a wall goes on to, null while it stays `here`: not before what it shows is locked
 * or withdrawn, unless people rate a later one and no longer this. Never back, and never to one that was withdrawn.
 */
export const nextOnWall = (
  evaluations: PanelView['evaluations'],
  here: string,
  stage: Stage,
): string | null => {
  const at = evaluations.findIndex((e) => e.evaluation === here);
  const newest = evaluations.slice(at + 1).findLast((e) => e.stage !== 'withdrawn');
  if (!newest) return null;
  const goes = OVER.includes(stage) || (newest.stage === 'sealed' && stage !== 'sealed');
  return goes ? newest.evaluation : null;
};
