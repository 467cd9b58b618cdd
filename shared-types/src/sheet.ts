import * as v from 'valibot';
import { instant, slug } from './ids.ts';
import { whole } from './numbers.ts';
import { OFF_SCALE } from './off-scale.ts';
import { shortReason, text } from './text.ts';

export const SHEET_FIELDS = {
  /** A point of the scale, or an off-scale answer; null takes the rating back. */
  answer: v.nullable(v.union([whole, v.picklist(OFF_SCALE)])),
  easier: v.nullable(v.boolean()),
  reason: v.nullable(shortReason),
  critical: v.nullable(text(3, 1000)),
  note: v.nullable(text(1, 2000)),
  /** The device's clock when the answer was last set. */
  at: v.nullable(instant),
} as const;
export type SheetField = keyof typeof SHEET_FIELDS;

export const HELD_REMARK_KEY = /^remark\/[A-Za-z0-9_-]{22}$/u;

/** The JSON text under a held remark's key. */
export const heldRemark = v.strictObject({
  task: v.nullable(slug),
  text: text(1, 2000),
  at: instant,
});
export type HeldRemark = v.InferOutput<typeof heldRemark>;
