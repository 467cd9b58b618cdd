import type { MotionCaveat } from '@unhindered/shared-types';
import { plural } from './plural.ts';

/** Words of what was measured in trials, beside the rating. */
export const measuredWords = {
  measured: {
    title: 'Measured in these trials',
    one: (name: string, value: string, unit: string) => `${name}: ${value} ${unit}`,
    many: (name: string, middle: string, least: string, most: string, unit: string) =>
      `${name}: middle ${middle} ${unit}, ${least} to ${most}`,
    of: (n: number, valid: number) => `in ${String(n)} of ${plural(valid, 'trial', 'trials')}`,
    caveats: {
      helmet: 'Helmet motion: the head can move inside it.',
      room: 'Motion in the room, not of the head on the torso.',
    } satisfies Record<MotionCaveat, string>,
    files: (n: number) => (n === 1 ? 'one from a file' : `${String(n)} from files`),
  },
};
