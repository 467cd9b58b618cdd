import * as v from 'valibot';
import { line, text } from './text.ts';

/** The physical item (or combined kit) on the bench. Empty text means "not recorded". */
export const specimen = v.strictObject({
  kind: v.picklist(['helmet', 'pads', 'torso', 'combined', 'other']),
  sport: line(1, 60),
  maker: line(1, 80),
  model: line(1, 80),
  year: line(0, 20),
  size: line(0, 40),
  serial: line(0, 60),
  condition: line(0, 120),
  fastening: text(0, 500),
  suppliedBy: line(0, 120),
});
export type Specimen = v.InferOutput<typeof specimen>;
