import type { HeadMotion, MotionPlan, PlaneRange } from '@unhindered/shared-types';
import { figure, noFigure } from '../consensus/figure.ts';
import { axesOf, toCardan } from './cardan.ts';
import { largestExcursion } from './largest-excursion.ts';
import { compose, helicalAngle, inverse, type Rotation } from './rotation.ts';
import { seriesGaps } from './series-gaps.ts';
import { thinSeries } from './thin-series.ts';

export interface MotionSample {
  seconds: number;
  head: Rotation;
  /** Undefined when the torso was not tracked at all: motion in the room, not on the torso. */
  torso: Rotation | undefined;
}

const DEGREES = 180 / Math.PI;
const NAMES = ['flexion', 'sideBending', 'rotation'] as const;

const NOTES = {
  helmet: 'The marker sits on the helmet: this is helmet motion; the head can move inside it.',
  room: 'The torso was not tracked: this is motion in the room, not of the head on the torso.',
};

/** Keeps turns continuous, and remembers the angles of one plane and their ends. */
const planeRange = () => {
  let last = 0;
  const angles: number[] = [];
  const found: PlaneRange = { least: 0, most: 0, range: 0, change: 0 };
  return {
    add: (radians: number): void => {
      const degrees = radians * DEGREES;
      last = degrees + 360 * Math.round((last - degrees) / 360);
      found.least = Math.min(found.least, last);
      found.most = Math.max(found.most, last);
      found.range = found.most - found.least;
      found.change = last;
      angles.push(last);
    },
    found,
    angles,
  };
};

const notesOf = (plan: MotionPlan, torso: boolean): string[] => [
  ...(plan.tracked === 'helmet' ? [NOTES.helmet] : []),
  ...(torso ? [] : [NOTES.room]),
];

/**
 * Collects a series sample by sample, in order of time, and gives the motion of the head on the torso from the start
 * pose: R(k) = (T0' H0)' (Tk' Hk). Every resultant is zero at the first sample. Samples that were lost are added by
 * `miss`; they enter no figure but the gaps. Throws when the plan's planes are not the axes of its order.
 */
export const headMotion = (plan: MotionPlan) => {
  const axes = axesOf(plan.order);
  const place = NAMES.map((name) => axes.indexOf(plan.planes[name]));
  if (new Set(place).size < 3) throw new RangeError('each plane needs an axis of its own');
  const gaps = seriesGaps(plan.rate);
  const ranges = NAMES.map(() => planeRange());
  const packed: number[] = [];
  const times: number[] = [];
  const angles: number[] = [];
  let start: Rotation | undefined;
  let torso = true;
  let gimbal: number | undefined;

  const add = (sample: MotionSample): void => {
    gaps.add(sample.seconds);
    torso &&= sample.torso !== undefined;
    const pose = sample.torso ? compose(inverse(sample.torso), sample.head) : sample.head;
    start ??= inverse(pose);
    const r = compose(start, pose);
    packed.push(r.w, r.x, r.y, r.z);
    times.push(sample.seconds);
    angles.push(helicalAngle(r) * DEGREES);
    const turns = toCardan(plan.order, r);
    if (turns) ranges.forEach((range, i) => range.add(turns[place[i] ?? 0] ?? 0));
    else gimbal ??= sample.seconds;
  };

  const planesOf = (): HeadMotion['planes'] => {
    if (times.length === 0) return noFigure('no sample');
    if (gimbal !== undefined) {
      const at = gimbal.toFixed(2);
      return noFigure(
        `the middle angle passes 80 degrees at ${at} s: choose another order of axes`,
      );
    }
    const [flexion, sideBending, rotation] = ranges.map((r) => r.found);
    if (!flexion || !sideBending || !rotation) return noFigure('no sample');
    return figure({ flexion, sideBending, rotation });
  };

  const planeCurves = (planes: HeadMotion['planes']): HeadMotion['planeCurves'] => {
    const curves = ranges.map((r) => thinSeries(times, r.angles));
    const [flexion = [], sideBending = [], rotation = []] = curves;
    return planes.ok ? figure({ flexion, sideBending, rotation }) : planes;
  };

  const end = (): HeadMotion => {
    const planes = planesOf();
    const most = angles.reduce((best, a, i) => (a > (angles[best] ?? 0) ? i : best), 0);
    const wide = largestExcursion(Float64Array.from(packed));
    return {
      ...gaps.end(),
      planes,
      helical:
        times.length === 0
          ? noFigure('no sample')
          : figure({ degrees: angles[most] ?? 0, seconds: times[most] ?? 0 }),
      excursion: wide.ok
        ? figure({
            degrees: wide.value.radians * DEGREES,
            seconds: [times[wide.value.between[0]] ?? 0, times[wide.value.between[1]] ?? 0],
          })
        : wide,
      rss: planes.ok
        ? figure(Math.hypot(...NAMES.map((name) => planes.value[name].range)))
        : planes,
      curve: thinSeries(times, angles),
      planeCurves: planeCurves(planes),
      notes: notesOf(plan, torso),
    };
  };
  return { add, miss: gaps.miss, end };
};
