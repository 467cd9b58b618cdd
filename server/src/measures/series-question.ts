import type { SeriesQuestion } from '@unhindered/shared-types';
import * as v from 'valibot';

const column = v.pipe(v.string(), v.minLength(1), v.maxLength(200));
const style = { delimiter: v.picklist([',', ';', '\t']), decimal: v.picklist(['.', ',']) };
const time = v.strictObject({ column, unit: v.picklist(['s', 'ms']) });
const order = v.picklist(['xyz', 'yzx', 'zxy', 'xzy', 'zyx', 'yxz']);
const axis = v.picklist(['x', 'y', 'z']);
const columns = (count: number) => v.pipe(v.array(column), v.length(count));

const orientation = v.variant('kind', [
  v.strictObject({ kind: v.literal('quaternion'), columns: columns(4) }),
  v.strictObject({ kind: v.literal('matrix'), columns: columns(9) }),
  v.strictObject({
    kind: v.literal('cardan'),
    columns: columns(3),
    order,
    unit: v.picklist(['deg', 'rad']),
  }),
]);

const motion = v.strictObject({
  ...style,
  rate: v.pipe(v.number(), v.gtValue(0), v.maxValue(100_000)),
  order,
  planes: v.pipe(
    v.strictObject({ flexion: axis, sideBending: axis, rotation: axis }),
    v.check((p) => new Set(Object.values(p)).size === 3, 'each plane has an axis of its own'),
  ),
  tracked: v.picklist(['head', 'helmet']),
  time: v.nullable(time),
  head: orientation,
  torso: v.nullable(orientation),
});

const measured = <U extends string>(units: readonly U[]) =>
  v.nullable(v.strictObject({ column, unit: v.picklist(units) }));

const manikin = v.strictObject({
  ...style,
  time,
  depth: measured(['mm', 'cm', 'in']),
  released: v.nullable(column),
  hand: v.nullable(column),
  volume: measured(['ml', 'l']),
  success: v.nullable(column),
  inspiration: v.nullable(column),
});

const instant = v.optional(v.pipe(v.number(), v.finite()));
const span = v.pipe(
  v.strictObject({ from: instant, to: instant }),
  v.check(({ from, to }) => from === undefined || to === undefined || from < to, 'ends first'),
);

/** How a file is to be read, from its JSON text. */
export const seriesQuestion: v.GenericSchema<unknown, SeriesQuestion> = v.pipe(
  v.string('say how the file is to be read'),
  v.maxLength(8000),
  v.parseJson(),
  v.variant('kind', [
    v.strictObject({ kind: v.literal('motion'), mapping: motion }),
    v.strictObject({ kind: v.literal('manikin'), mapping: manikin, span }),
  ]),
);
