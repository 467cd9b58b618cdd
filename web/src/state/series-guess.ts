import type { OrientationColumns } from '@unhindered/shared-types';

/** The columns of a manikin's file, '' where there is none, and the units of two of them. */
export interface ManikinColumns {
  depth: string;
  depthUnit: 'mm' | 'cm' | 'in';
  released: string;
  hand: string;
  volume: string;
  volumeUnit: 'ml' | 'l';
  success: string;
  inspiration: string;
}

/** What the headings of a file let one guess: columns by their part, '' where none fits. */
export interface GuessedColumns extends ManikinColumns {
  time: string;
  /** The unit that the time's heading names. */
  timeUnit: 's' | 'ms' | undefined;
  head: GuessedOrientation | undefined;
  torso: GuessedOrientation | undefined;
}

export interface GuessedOrientation {
  kind: OrientationColumns['kind'];
  columns: string[];
  unit: 'deg' | 'rad' | '';
}

/** Words of a heading, lower case: `Head_qW (unit)` is head, q, w, unit. */
const wordsOf = (heading: string): string[] =>
  heading
    .replace(/([a-z])([A-Z])/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}%]+/u)
    .flatMap((word) => /^(q|quat|r|rot|m)(?=[wxyz]$|[1-3]{2}$)(.+)$/u.exec(word)?.slice(1) ?? word)
    .filter((word) => word !== '');

const BODY = {
  head: ['head', 'helmet', 'skull', 'cranium'],
  torso: ['torso', 'trunk', 'chest', 'thorax', 'sternum', 'body', 't1'],
} as const;
const QUATERNION = ['w', 'x', 'y', 'z'];
const MATRIX = [1, 2, 3].flatMap((row) =>
  [1, 2, 3].map((column) => `${String(row)}${String(column)}`),
);
const ANGLES = [
  ['flexion', 'flex', 'fe', 'pitch', 'sagittal'],
  ['bending', 'lateral', 'lb', 'roll', 'side', 'frontal'],
  ['rotation', 'axial', 'ar', 'yaw', 'twist', 'transverse'],
];
const ANGLE_HINT = ['angle', 'deg', 'rad', 'euler', 'cardan', '°'];

type Titled = { heading: string; words: string[] };

/** One heading for each part, each by its own words; undefined when one is missing. */
const each = (
  of: readonly Titled[],
  parts: readonly (readonly string[])[],
): string[] | undefined => {
  const found = parts.map((part) => of.find(({ words }) => part.some((p) => words.includes(p))));
  const columns = found.flatMap((f) => f?.heading ?? []);
  return columns.length === parts.length && new Set(columns).size === parts.length
    ? columns
    : undefined;
};

const orientation = (of: readonly Titled[]): GuessedOrientation | undefined => {
  const matrix = each(
    of,
    MATRIX.map((place) => [place]),
  );
  if (matrix) return { kind: 'matrix', columns: matrix, unit: '' };
  const quaternion = each(
    of,
    QUATERNION.map((part) => [part]),
  );
  if (quaternion) return { kind: 'quaternion', columns: quaternion, unit: '' };
  const angled = of.filter(({ words }) => words.some((w) => ANGLE_HINT.includes(w)));
  const angles =
    each(of, ANGLES) ??
    each(
      angled,
      ['x', 'y', 'z'].map((axis) => [axis]),
    );
  if (!angles) return undefined;
  const said = (unit: string): boolean => of.some(({ words }) => words.includes(unit));
  return { kind: 'cardan', columns: angles, unit: said('deg') ? 'deg' : said('rad') ? 'rad' : '' };
};

const MILLISECONDS = ['ms', 'msec', 'millisecond', 'milliseconds'];
const SECONDS = ['s', 'sec', 'secs', 'second', 'seconds'];
const unitOf = (heading: string): 's' | 'ms' | undefined => {
  const words = wordsOf(heading);
  if (words.some((w) => MILLISECONDS.includes(w))) return 'ms';
  return words.some((w) => SECONDS.includes(w)) ? 's' : undefined;
};

/**
 * Guesses the columns of a series by the words in its headings. Nothing but names is guessed: axes, order of turns and
 * what carried the marker must be said by somebody who knows. A guess is shown to be changed, and never read unseen.
 * `timed` is the column whose numbers rise, where there is one.
 */
export const roleColumns = (headings: readonly string[], timed: string = ''): GuessedColumns => {
  const all = headings.map((heading) => ({ heading, words: wordsOf(heading) }));
  const first = (...parts: string[]): string =>
    all.find(({ words }) => words.some((w) => parts.includes(w)))?.heading ?? '';
  const body = (names: readonly string[]): Titled[] =>
    all.filter(({ words }) => words.some((w) => names.includes(w)));
  const wordsIn = (heading: string): string[] => wordsOf(heading);
  const time = timed !== '' ? timed : first('time', 't', 'seconds', 'sec', 's', 'ms', 'timestamp');
  const [head, torso] = [body(BODY.head), body(BODY.torso)];
  const plain = all.filter((t) => !torso.includes(t) && t.heading !== time);
  const depth = first('depth');
  const volume = first('volume', 'vt', 'tidal');
  return {
    time,
    timeUnit: unitOf(time),
    head: orientation(head) ?? (head.length === 0 ? orientation(plain) : undefined),
    torso: orientation(torso),
    depth,
    depthUnit: wordsIn(depth).includes('cm') ? 'cm' : wordsIn(depth).includes('in') ? 'in' : 'mm',
    released: first('released', 'release', 'recoil'),
    hand: first('hand', 'hands', 'position'),
    volume,
    volumeUnit: wordsIn(volume).includes('l') ? 'l' : 'ml',
    success: first('success', 'rise', 'ventilated', 'breath'),
    inspiration: first('inspiration', 'inspiratory', 'insp'),
  };
};
