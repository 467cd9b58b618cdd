/** A unit quaternion, scalar first: the rotation that takes vectors of the moving frame to the fixed one. */
export interface Rotation {
  w: number;
  x: number;
  y: number;
  z: number;
}

/** Nine numbers by rows: r11, r12, r13, r21 ... r33. */
export type Matrix9 = readonly number[];

export const IDENTITY: Rotation = { w: 1, x: 0, y: 0, z: 0 };

/** Scales to unit length. Undefined when all four are zero or one is no number. */
export const unit = (q: Rotation): Rotation | undefined => {
  const length = Math.hypot(q.w, q.x, q.y, q.z);
  if (!(length > 0) || !Number.isFinite(length)) return undefined;
  return { w: q.w / length, x: q.x / length, y: q.y / length, z: q.z / length };
};

export const inverse = (q: Rotation): Rotation => ({ w: q.w, x: -q.x, y: -q.y, z: -q.z });

/** First `b`, then `a`, as matrices multiply. */
export const compose = (a: Rotation, b: Rotation): Rotation => ({
  w: a.w * b.w - a.x * b.x - a.y * b.y - a.z * b.z,
  x: a.w * b.x + a.x * b.w + a.y * b.z - a.z * b.y,
  y: a.w * b.y - a.x * b.z + a.y * b.w + a.z * b.x,
  z: a.w * b.z + a.x * b.y - a.y * b.x + a.z * b.w,
});

/**
 * Helical angle of a rotation, radians in 0..pi. By both parts of the quaternion, so that small angles and half
 * turns keep their digits where an arc cosine of the trace would lose them.
 */
export const helicalAngle = (q: Rotation): number =>
  2 * Math.atan2(Math.hypot(q.x, q.y, q.z), Math.abs(q.w));

/** Angle between two rotations, radians. */
export const angleBetween = (a: Rotation, b: Rotation): number =>
  helicalAngle(compose(inverse(a), b));

export const toMatrix = ({ w, x, y, z }: Rotation): Matrix9 => [
  1 - 2 * (y * y + z * z),
  2 * (x * y - w * z),
  2 * (x * z + w * y),
  2 * (x * y + w * z),
  1 - 2 * (x * x + z * z),
  2 * (y * z - w * x),
  2 * (x * z - w * y),
  2 * (y * z + w * x),
  1 - 2 * (x * x + y * y),
];

/** How far a matrix is from a rotation: the largest error of its columns' lengths and angles; mirrored is infinite. */
export const matrixError = (m: Matrix9): number => {
  const at = (row: number, column: number): number => m[3 * row + column] ?? Number.NaN;
  let worst = 0;
  for (const a of [0, 1, 2]) {
    for (const b of [0, 1, 2]) {
      const dot = at(0, a) * at(0, b) + at(1, a) * at(1, b) + at(2, a) * at(2, b);
      const error = Math.abs(dot - (a === b ? 1 : 0));
      worst = Number.isNaN(error) ? Infinity : Math.max(worst, error);
    }
  }
  const determinant =
    at(0, 0) * (at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1)) -
    at(0, 1) * (at(1, 0) * at(2, 2) - at(1, 2) * at(2, 0)) +
    at(0, 2) * (at(1, 0) * at(2, 1) - at(1, 1) * at(2, 0));
  return determinant > 0 ? worst : Infinity;
};

/** The rotation of a matrix, by its largest quaternion part. Source: Shepperd 1978 (from memory). */
export const fromMatrix = (m: Matrix9): Rotation | undefined => {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0, i = 0] = m;
  const squares = [1 + a + e + i, 1 + a - e - i, 1 - a + e - i, 1 - a - e + i];
  const largest = squares.indexOf(Math.max(...squares));
  const s = squares[largest] ?? 0;
  const parts: Rotation[] = [
    { w: s, x: h - f, y: c - g, z: d - b },
    { w: h - f, x: s, y: b + d, z: c + g },
    { w: c - g, x: b + d, y: s, z: f + h },
    { w: d - b, x: c + g, y: f + h, z: s },
  ];
  return unit(parts[largest] ?? IDENTITY);
};
