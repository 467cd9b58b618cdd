import type { OrientationColumns } from '@unhindered/shared-types';
import { fromCardan } from './cardan.ts';
import { fromMatrix, matrixError, unit, type Rotation } from './rotation.ts';

/** How far a quaternion's length, or a matrix's columns, may be off before the row is refused. */
const TOLERANCE = 0.02;

export type OrientationRead =
  { ok: true; rotation: Rotation } | { ok: false; fault: string; remedy: string };

const refused = (fault: string, remedy: string): OrientationRead => ({ ok: false, fault, remedy });

const quaternion = ([w = 0, x = 0, y = 0, z = 0]: readonly number[]): OrientationRead => {
  const length = Math.hypot(w, x, y, z);
  const rotation = unit({ w, x, y, z });
  if (!rotation || Math.abs(length - 1) > TOLERANCE) {
    const fault = `the quaternion's length is ${length.toFixed(3)}, not 1`;
    return refused(fault, 'Check the four columns, or leave the cells blank for a lost sample.');
  }
  return { ok: true, rotation };
};

const matrix = (cells: readonly number[]): OrientationRead => {
  const rotation = matrixError(cells) <= TOLERANCE ? fromMatrix(cells) : undefined;
  if (!rotation) {
    const remedy =
      'Check the order of the nine columns (by rows), and that the axes are right-handed.';
    return refused('the nine numbers are no rotation', remedy);
  }
  return { ok: true, rotation };
};

/** The rotation that the numbers of one row stand for. */
export const readOrientation = (
  of: OrientationColumns,
  numbers: readonly number[],
): OrientationRead => {
  if (of.kind === 'quaternion') return quaternion(numbers);
  if (of.kind === 'matrix') return matrix(numbers);
  const factor = of.unit === 'deg' ? Math.PI / 180 : 1;
  const [first = 0, second = 0, third = 0] = numbers.map((x) => x * factor);
  return { ok: true, rotation: fromCardan(of.order, [first, second, third]) };
};
