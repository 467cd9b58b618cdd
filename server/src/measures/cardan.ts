import type { Axis, CardanOrder } from '@unhindered/shared-types';
import { compose, IDENTITY, toMatrix, type Rotation } from './rotation.ts';

/** Radians, in the order of the turns. */
export type CardanAngles = [first: number, second: number, third: number];

/** Past this second angle, 80 degrees, the first and third run into one another and are not given. */
export const GIMBAL_LIMIT = (80 * Math.PI) / 180;

const PLACE: Record<Axis, number> = { x: 0, y: 1, z: 2 };
const CYCLIC = new Set<CardanOrder>(['xyz', 'yzx', 'zxy']);

export const axesOf = (order: CardanOrder): [Axis, Axis, Axis] => [...order] as [Axis, Axis, Axis];

const about = (axis: Axis, angle: number): Rotation => ({
  ...IDENTITY,
  w: Math.cos(angle / 2),
  [axis]: Math.sin(angle / 2),
});

export const fromCardan = (order: CardanOrder, angles: CardanAngles): Rotation => {
  const [first, second, third] = axesOf(order);
  return compose(
    compose(about(first, angles[0]), about(second, angles[1])),
    about(third, angles[2]),
  );
};

/**
 * The three angles of a rotation. Undefined past the gimbal limit. For zxy (flexion about z, side-bending about x,
 * rotation about y): second = asin r32, first = atan2(-r12, r22), third = atan2(-r31, r33).
 */
export const toCardan = (order: CardanOrder, rotation: Rotation): CardanAngles | undefined => {
  const m = toMatrix(rotation);
  const [i, j, k] = axesOf(order).map((axis) => PLACE[axis]) as [number, number, number];
  const at = (row: number, column: number): number => m[3 * row + column] ?? 0;
  const sign = CYCLIC.has(order) ? 1 : -1;
  const second = Math.asin(Math.min(1, Math.max(-1, sign * at(i, k))));
  if (Math.abs(second) > GIMBAL_LIMIT) return undefined;
  return [Math.atan2(-sign * at(j, k), at(k, k)), second, Math.atan2(-sign * at(i, j), at(i, i))];
};
