import type { NumberStyle } from './number-style.ts';

/** An axis of a body's frame. */
export type Axis = 'x' | 'y' | 'z';

/**
 * Order of three turns about moving axes: R = R_first R_second R_third. It must be stored with the figures: another
 * order gives other angles. Source: Crawford 1996, Human Movement Science.
 */
export type CardanOrder = 'xyz' | 'yzx' | 'zxy' | 'xzy' | 'zyx' | 'yxz';

/** The columns an orientation stands in, and how they are to be read. */
export type OrientationColumns =
  /** w, x, y, z: scalar first, whatever the order in the file. */
  | { kind: 'quaternion'; columns: string[] }
  /** r11, r12, r13, r21 ... r33: by rows, columns of the matrix being the axes of the body. */
  | { kind: 'matrix'; columns: string[] }
  /** Angles in the order of the turns. */
  | { kind: 'cardan'; columns: string[]; order: CardanOrder; unit: 'deg' | 'rad' };

/** Numbers an orientation of this kind takes. */
export const columnsNeeded = (of: Pick<OrientationColumns, 'kind'>): number =>
  ({ quaternion: 4, matrix: 9, cardan: 3 })[of.kind];

/** The three planes of head-on-torso motion, and the axis each turns about. */
export type Planes = Record<'flexion' | 'sideBending' | 'rotation', Axis>;

/** How a series is read; printed with its figures, which mean nothing without it. */
export interface MotionPlan {
  /** Samples a second, as the system was set. */
  rate: number;
  order: CardanOrder;
  planes: Planes;
  /** What carries the head's marker: a helmet may move on the head. */
  tracked: 'head' | 'helmet';
}

/** How a motion file is read; kept with the figures. */
export interface MotionMapping extends MotionPlan, NumberStyle {
  /** Null when the rows stand at the declared rate without times. */
  time: { column: string; unit: 's' | 'ms' } | null;
  head: OrientationColumns;
  torso: OrientationColumns | null;
}

/** How a manikin's file is read: a row with a depth is a compression, a row with a breath cell is a breath. */
export interface ManikinMapping extends NumberStyle {
  time: { column: string; unit: 's' | 'ms' };
  depth: { column: string; unit: 'mm' | 'cm' | 'in' } | null;
  released: string | null;
  hand: string | null;
  volume: { column: string; unit: 'ml' | 'l' } | null;
  success: string | null;
  inspiration: string | null;
}

/** Between two instants of the trial, seconds. By default from the first compression to the last. */
export interface Span {
  from?: number | undefined;
  to?: number | undefined;
}

/** What to read a file as. */
export type SeriesQuestion =
  | { kind: 'motion'; mapping: MotionMapping }
  | { kind: 'manikin'; mapping: ManikinMapping; span: Span };

/** Why values of a motion file are not those of the head on the torso. */
export type MotionCaveat = 'helmet' | 'room';

/**
 * SR-9: what must stand with values of a file wherever they are shown, from how it was read (JSON text of a
 * `SeriesQuestion`): `helmet`, the marker sat on the helmet, which can move on the head; `room`, the torso was not
 * tracked. None for a text that is no question.
 */
export const motionCaveats = (as: string): MotionCaveat[] => {
  try {
    const question = JSON.parse(as) as SeriesQuestion;
    if (question.kind !== 'motion') return [];
    const { tracked, torso } = question.mapping;
    return [
      ...(tracked === 'helmet' ? ['helmet' as const] : []),
      ...(torso ? [] : ['room' as const]),
    ];
  } catch {
    return [];
  }
};
