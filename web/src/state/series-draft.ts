import {
  columnsNeeded,
  type Axis,
  type CardanOrder,
  type OrientationColumns,
  type Planes,
  type SeriesPreview,
  type SeriesQuestion,
} from '@unhindered/shared-types';
import { roleColumns, type ManikinColumns } from './series-guess.ts';

/** An orientation as it is being chosen: a column's name for each number, '' where none is chosen. */
export interface OrientationDraft {
  kind: OrientationColumns['kind'];
  columns: string[];
  /** Of angles: the axes in the order of the turns. */
  order: CardanOrder | '';
  unit: 'deg' | 'rad' | '';
}

export type Plane = keyof Planes;
export const PLANES: readonly Plane[] = ['flexion', 'sideBending', 'rotation'];

/** How a file is to be read, as it stands in the fields; '' is a choice that was not made. */
export interface SeriesDraft extends ManikinColumns {
  kind: 'motion' | 'manikin' | '';
  delimiter: ',' | ';' | '\t';
  decimal: '.' | ',';
  /** '' : the rows have no times. */
  time: string;
  timeUnit: 's' | 'ms';
  rate: string;
  head: OrientationDraft;
  torso: OrientationDraft;
  torsoTracked: boolean;
  tracked: 'head' | 'helmet' | '';
  axes: Record<Plane, Axis | ''>;
  /** The planes in the order in which their angles are taken out. */
  turns: string;
  from: string;
  to: string;
}

/** What is not yet said, by field, as a key of the words; and the question when all is. */
export interface SeriesCheck {
  faults: Partial<Record<SeriesField, SeriesFaultKey>>;
  question: SeriesQuestion | null;
}
export type SeriesField =
  'kind' | 'decimal' | 'time' | 'rate' | 'head' | 'torso' | 'tracked' | 'axes' | 'columns' | 'span';
export type SeriesFaultKey =
  | 'choose'
  | 'decimal'
  | 'rate'
  | 'columns'
  | 'order'
  | 'axes'
  | 'time'
  | 'nothing'
  | 'number'
  | 'span';

/** The six orders of the three planes. */
export const TURN_ORDERS: readonly (readonly Plane[])[] = [
  ['flexion', 'sideBending', 'rotation'],
  ['flexion', 'rotation', 'sideBending'],
  ['sideBending', 'flexion', 'rotation'],
  ['sideBending', 'rotation', 'flexion'],
  ['rotation', 'flexion', 'sideBending'],
  ['rotation', 'sideBending', 'flexion'],
];

const noOrientation: OrientationDraft = { kind: 'quaternion', columns: [], order: '', unit: '' };

/** Steps longer than this are taken for milliseconds in a manikin's file: nobody presses once in ten seconds. */
const LONGEST_PRESS_S = 10;

/** The unit of the time, as its heading says or else as its steps suggest, and the rate of a motion in it. */
const clockOf = (
  { time }: SeriesPreview,
  said: 's' | 'ms' | undefined,
  motion: boolean,
): Pick<SeriesDraft, 'timeUnit' | 'rate'> => {
  if (!time) return { timeUnit: said ?? 's', rate: '' };
  /** In the column's own unit. */
  const step = (time.unit === 'ms' ? 1000 : 1) / time.rate;
  const timeUnit = said ?? (motion ? time.unit : step > LONGEST_PRESS_S ? 'ms' : 's');
  const rate = (timeUnit === 'ms' ? 1000 : 1) / step;
  return { timeUnit, rate: motion ? String(Number(rate.toPrecision(6))) : '' };
};

/** What the first rows and the headings let one guess; what only somebody who was there knows is left open. */
export const draftFrom = (preview: SeriesPreview): SeriesDraft => {
  const found = roleColumns(preview.columns, preview.time?.column);
  const { head, torso } = found;
  const motion = head !== undefined;
  const manikin = found.depth !== '' || found.success !== '' || found.volume !== '';
  const orientation = (of: typeof head): OrientationDraft =>
    of ? { ...noOrientation, kind: of.kind, columns: of.columns, unit: of.unit } : noOrientation;
  return {
    kind: motion && !manikin ? 'motion' : manikin && !motion ? 'manikin' : '',
    delimiter: preview.delimiter,
    decimal: preview.decimal,
    time: found.time,
    ...clockOf(preview, found.timeUnit, motion),
    head: orientation(head),
    torso: orientation(torso),
    torsoTracked: torso !== undefined,
    tracked: '',
    axes: { flexion: '', sideBending: '', rotation: '' },
    turns: TURN_ORDERS[0]?.join(' ') ?? '',
    depth: found.depth,
    depthUnit: found.depthUnit,
    released: found.released,
    hand: found.hand,
    volume: found.volume,
    volumeUnit: found.volumeUnit,
    success: found.success,
    inspiration: found.inspiration,
    from: '',
    to: '',
  };
};

/**
 * SR-7: an earlier choice put on another file: every choice is kept as far as the columns it names are there, so that
 * nobody has to say the same twice. Delimiter and decimal sign are the new file's.
 */
export const draftAgain = (earlier: SeriesDraft, preview: SeriesPreview): SeriesDraft => {
  const fresh = draftFrom(preview);
  const has = (name: string): boolean => preview.columns.includes(name);
  const named = [
    earlier.time,
    ...earlier.head.columns,
    ...(earlier.torsoTracked ? earlier.torso.columns : []),
    ...[earlier.depth, earlier.released, earlier.hand],
    ...[earlier.volume, earlier.success, earlier.inspiration],
  ].filter((name) => name !== '');
  const { delimiter, decimal } = fresh;
  if (named.every(has)) return { ...earlier, delimiter, decimal, from: '', to: '' };
  // Other columns: what does not hang on them stays.
  const { tracked, axes, turns } = earlier;
  const order = (of: OrientationDraft, old: OrientationDraft): OrientationDraft => ({
    ...of,
    order: old.order,
    unit: of.unit === '' ? old.unit : of.unit,
  });
  return {
    ...fresh,
    kind: fresh.kind === '' ? earlier.kind : fresh.kind,
    tracked,
    axes,
    turns,
    head: order(fresh.head, earlier.head),
    torso: order(fresh.torso, earlier.torso),
  };
};

/** A number as typed, with a decimal point or comma; undefined when it is none. */
const typed = (text: string): number | undefined => {
  const number = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(number) ? number : undefined;
};

type Faults = SeriesCheck['faults'];

const orientationOf = (
  draft: OrientationDraft,
  field: 'head' | 'torso',
  faults: Faults,
): OrientationColumns | undefined => {
  const { kind, order, unit } = draft;
  const columns = draft.columns.slice(0, columnsNeeded({ kind }));
  if (columns.length < columnsNeeded({ kind }) || columns.includes('')) faults[field] = 'columns';
  else if (kind === 'cardan' && (order === '' || unit === '')) faults[field] = 'order';
  if (kind !== 'cardan') return { kind, columns };
  return order === '' || unit === '' ? undefined : { kind, columns, order, unit };
};

const motionQuestion = (draft: SeriesDraft, faults: Faults): SeriesQuestion | null => {
  const { delimiter, decimal, axes, tracked } = draft;
  const rate = typed(draft.rate);
  if (rate === undefined || rate <= 0 || rate > 100_000) faults.rate = 'rate';
  const head = orientationOf(draft.head, 'head', faults);
  const torso = draft.torsoTracked ? orientationOf(draft.torso, 'torso', faults) : null;
  if (tracked === '') faults.tracked = 'choose';
  const { flexion, sideBending, rotation } = axes;
  if (new Set([flexion, sideBending, rotation]).size < 3) faults.axes = 'axes';
  if (flexion === '' || sideBending === '' || rotation === '') faults.axes = 'axes';
  const broken = Object.keys(faults).length > 0;
  if (broken || tracked === '' || flexion === '' || sideBending === '' || rotation === '')
    return null;
  if (!head || torso === undefined || rate === undefined) return null;
  const planes: Planes = { flexion, sideBending, rotation };
  const order = draft.turns
    .split(' ')
    .map((plane) => planes[plane as Plane])
    .join('') as CardanOrder;
  const time = draft.time === '' ? null : { column: draft.time, unit: draft.timeUnit };
  return {
    kind: 'motion',
    mapping: { delimiter, decimal, time, rate, order, planes, tracked, head, torso },
  };
};

const instantOf = (text: string, faults: Faults): number | undefined => {
  const seconds = typed(text);
  if (text.trim() !== '' && seconds === undefined) faults.span = 'number';
  return seconds;
};

const manikinQuestion = (draft: SeriesDraft, faults: Faults): SeriesQuestion | null => {
  const { delimiter, decimal, depth, volume } = draft;
  if (draft.time === '') faults.time = 'time';
  const choice = (name: string): string | null => (name === '' ? null : name);
  const { released, hand, success, inspiration } = draft;
  if ([depth, volume, released, hand, success, inspiration].every((name) => name === '')) {
    faults.columns = 'nothing';
  }
  const [from, to] = [instantOf(draft.from, faults), instantOf(draft.to, faults)];
  if (from !== undefined && to !== undefined && from >= to) faults.span = 'span';
  if (Object.keys(faults).length > 0) return null;
  return {
    kind: 'manikin',
    mapping: {
      delimiter,
      decimal,
      time: { column: draft.time, unit: draft.timeUnit },
      depth: depth === '' ? null : { column: depth, unit: draft.depthUnit },
      released: choice(released),
      hand: choice(hand),
      volume: volume === '' ? null : { column: volume, unit: draft.volumeUnit },
      success: choice(success),
      inspiration: choice(inspiration),
    },
    span: { ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) },
  };
};

/** Holds the choices together: what is missing by field, or the question to send with the file. */
export const checkSeries = (draft: SeriesDraft): SeriesCheck => {
  const faults: Faults = {};
  if (draft.delimiter === ',' && draft.decimal === ',') faults.decimal = 'decimal';
  if (draft.kind === '') return { faults: { kind: 'choose' }, question: null };
  const question =
    draft.kind === 'motion' ? motionQuestion(draft, faults) : manikinQuestion(draft, faults);
  return { faults, question };
};

/** The words that name what a column is read as. */
interface PartWords {
  time: string;
  head: string;
  torso: string;
  depth: string;
  released: string;
  hand: string;
  volume: string;
  success: string;
  inspiration: string;
  part: (kind: OrientationColumns['kind'], i: number) => string;
}

/** What each chosen column is read as, for the table of the first rows. */
export const chosenParts = (draft: SeriesDraft, say: PartWords): ReadonlyMap<string, string> => {
  const body = (of: OrientationDraft, title: string): [string, string][] =>
    of.columns.map((name, i) => [name, `${title}: ${say.part(of.kind, i)}`]);
  const pairs: [string, string][] =
    draft.kind === 'motion'
      ? [...body(draft.head, say.head), ...(draft.torsoTracked ? body(draft.torso, say.torso) : [])]
      : draft.kind === 'manikin'
        ? (['depth', 'released', 'hand', 'volume', 'success', 'inspiration'] as const).map(
            (field) => [draft[field], say[field]],
          )
        : [];
  const timed: [string, string][] = draft.kind === '' ? [] : [[draft.time, say.time]];
  return new Map([...pairs, ...timed].filter(([name]) => name !== ''));
};
