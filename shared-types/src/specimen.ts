import * as v from 'valibot';
import { specimenId } from './ids.ts';
import { line, text } from './text.ts';

/** What stands on the label of a piece, and where it comes from. Empty text means "not recorded". */
const label = {
  kind: v.picklist(['helmet', 'pads', 'torso', 'combined', 'other']),
  sport: line(1, 60),
  maker: line(1, 80),
  model: line(1, 80),
  year: line(0, 20),
  size: line(0, 40),
  serial: line(0, 60),
  condition: line(0, 120),
  suppliedBy: line(0, 120),
};

/** The physical item (or combined kit) on the bench. */
export const specimen = v.strictObject({ ...label, fastening: text(0, 500) });
export type Specimen = v.InferOutput<typeof specimen>;

/** A piece of fastening hardware: what it is, of what, how many, in what state. */
const hardware = v.strictObject({
  kind: line(1, 60),
  material: line(0, 60),
  count: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(200)),
  condition: line(0, 120),
});

/**
 * A specimen as the register holds it. `made` is the day of making (YYYY-MM-DD) from which the age follows; `ageStated` is
 * an age that somebody states instead. `massG` is in grams. `pieces` names the registered pieces of a combined kit.
 */
export const specimenDetails = v.strictObject({
  ...label,
  made: v.nullable(v.pipe(v.string(), v.isoDate('Write the day as YYYY-MM-DD.'))),
  ageStated: line(0, 60),
  hardware: v.pipe(v.array(hardware), v.maxLength(40)),
  massG: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100_000))),
  notes: text(0, 1000),
  pieces: v.pipe(v.array(specimenId), v.maxLength(12)),
});
export type SpecimenDetails = v.InferOutput<typeof specimenDetails>;
export type Hardware = SpecimenDetails['hardware'][number];

/** A specimen with its number in the register. */
export const registeredPiece = v.strictObject({ specimen: specimenId, details: specimenDetails });
export type RegisteredPiece = v.InferOutput<typeof registeredPiece>;

/** What an evaluation keeps of the register: the specimen as it was then, and the parts of a kit. */
export const registered = v.strictObject({
  specimen: specimenId,
  details: specimenDetails,
  parts: v.array(registeredPiece),
});
export type Registered = v.InferOutput<typeof registered>;

/** One kind of hardware as a phrase: "4 × screw, stainless steel (rusted)". */
export const hardwareWords = ({ kind, material, count, condition }: Hardware): string =>
  `${String(count)} × ${kind}${material === '' ? '' : `, ${material}`}${condition === '' ? '' : ` (${condition})`}`;

/** The hardware of a specimen and of the parts of a kit, as one text of at most 500 signs. */
export const fasteningWords = ({ details, parts }: Omit<Registered, 'specimen'>): string => {
  const own = details.hardware.map(hardwareWords);
  const ofParts = parts.flatMap((p) =>
    p.details.hardware.map((h) => `${p.details.model}: ${hardwareWords(h)}`),
  );
  return [...[...own, ...ofParts].join('; ')].slice(0, 500).join('').trim();
};

/** The short description of a registered specimen that catalogues, cards and records use. */
export const specimenOf = (piece: Omit<Registered, 'specimen'>): Specimen => {
  const { kind, sport, maker, model, year, size, serial, condition, suppliedBy } = piece.details;
  const fastening = fasteningWords(piece);
  return { kind, sport, maker, model, year, size, serial, condition, fastening, suppliedBy };
};
