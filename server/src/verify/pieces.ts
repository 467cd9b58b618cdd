import type { EvaluationEvent, Registered, SpecimenPhotoEvent } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';

/** What an evaluation has of the register. */
export interface PieceReplay {
  /** Its registered pieces, each with the canonical text of its description as it stands. */
  pieces: Map<string, string>;
  /** Photos of the pieces by id; `caption` null once the file is gone. */
  photos: Map<string, { specimen: string; sha256: string; caption: string | null }>;
}

export const piecesOf = (registered: Registered | undefined): Map<string, string> =>
  new Map(
    registered
      ? [registered, ...registered.parts].map((p) => [p.specimen, canonicalText(p.details)])
      : [],
  );

/** SP-8: a correction is of a piece of this evaluation, and starts from what stood there. */
export const takeCorrection = (
  { pieces }: PieceReplay,
  { specimen, old, new: now }: Extract<EvaluationEvent, { type: 'specimen-corrected' }>['data'],
): string | undefined => {
  const stands = pieces.get(specimen);
  if (stands === undefined) return 'the specimen is no piece of this evaluation';
  if (stands !== canonicalText(old)) return 'the correction does not start from what stood there';
  pieces.set(specimen, canonicalText(now));
  return undefined;
};

/** Whether an event is of a photo of a piece. */
export const isPhotoEvent = (event: EvaluationEvent): event is SpecimenPhotoEvent =>
  event.type.startsWith('specimen-photo-');

/** SP-9: a photo is of a piece of this evaluation, a caption starts from what stood there, and what is gone stays gone. */
export const takePhoto = (
  { pieces, photos }: PieceReplay,
  { type, data }: SpecimenPhotoEvent,
): string | undefined => {
  const { specimen } = data;
  if (!pieces.has(specimen)) return 'the specimen is no piece of this evaluation';
  const known = photos.get(data.photo);
  if (type === 'specimen-photo-added') {
    const all = [...photos.values()];
    const { sha256, caption } = data;
    if (known) return 'the photo is there already';
    if (all.some((p) => p.specimen === specimen && p.caption !== null && p.sha256 === sha256)) {
      return 'the same file stands already';
    }
    photos.set(data.photo, { specimen, sha256, caption });
    return undefined;
  }
  if (known?.specimen !== specimen || known.caption === null) return 'no such photo stands';
  if (type === 'specimen-photo-removed') known.caption = null;
  else if (known.caption !== data.old) return 'the caption does not start from what stood there';
  else known.caption = data.new;
  return undefined;
};
