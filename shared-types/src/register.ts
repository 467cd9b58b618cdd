import * as v from 'valibot';
import type { FitStanding } from './fit.ts';
import { evaluationId, specimenId } from './ids.ts';
import { specimenDetails, type SpecimenDetails } from './specimen.ts';
import { specimenPhotoEvents, type SpecimenPhoto } from './specimen-photo.ts';
import { text } from './text.ts';
import type { Stage } from './stage.ts';

/** A correction keeps what stood there. It stands in the register and in every evaluation of the specimen under way. */
export const specimenCorrected = v.strictObject({
  type: v.literal('specimen-corrected'),
  data: v.strictObject({
    specimen: specimenId,
    old: specimenDetails,
    new: specimenDetails,
    reason: text(1, 2000),
  }),
});

/** Events of the register of specimens. */
export const registerEvent = v.variant('type', [
  v.strictObject({
    type: v.literal('specimen-registered'),
    data: v.strictObject({ specimen: specimenId, details: specimenDetails }),
  }),
  specimenCorrected,
  v.strictObject({
    type: v.literal('specimen-retired'),
    data: v.strictObject({ specimen: specimenId, reason: text(1, 2000) }),
  }),
  /** An evaluation of it was made. */
  v.strictObject({
    type: v.literal('specimen-used'),
    data: v.strictObject({ specimen: specimenId, evaluation: evaluationId }),
  }),
  ...specimenPhotoEvents,
]);
export type RegisterEvent = v.InferOutput<typeof registerEvent>;

/** One line of the register. `age` in whole months where the day of making is known. */
export interface RegisterRow {
  specimen: string;
  details: SpecimenDetails;
  ageMonths: number | null;
  registeredAt: string;
  retired: { reason: string; at: string } | null;
  /** How many evaluations there are of it. */
  evaluations: number;
}

/** Answer to a look into the register; `more` says how many lines were left out. */
export interface RegisterAnswer {
  rows: RegisterRow[];
  more: number;
}

/** One specimen with everything that is on record about it. */
export interface SpecimenAnswer extends RegisterRow {
  /** Photos that stand and that the reader may see now, oldest first. */
  photos: SpecimenPhoto[];
  parts: (RegisterRow & { photos: SpecimenPhoto[] })[];
  kits: { specimen: string; title: string }[];
  history: {
    at: string;
    what:
      'registered' | 'corrected' | 'retired' | 'photo-added' | 'photo-captioned' | 'photo-removed';
    reason: string | null;
    old: SpecimenDetails | null;
    /** Of a photo: its caption, or where that was changed the one of before. */
    caption: string | null;
  }[];
  used: {
    evaluation: string;
    panel: string;
    title: string;
    stage: Stage;
    fit: FitStanding;
    checks: number;
  }[];
}

/** What one looks for in the register: words of maker, model, serial and the like. */
export const registerQuery = v.strictObject({
  text: v.optional(v.pipe(v.string(), v.maxLength(100)), ''),
  retired: v.optional(v.picklist(['yes', 'no']), 'no'),
});
export type RegisterQuery = v.InferOutput<typeof registerQuery>;
