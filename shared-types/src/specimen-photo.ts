import * as v from 'valibot';
import { mediaId, sha256Hex, specimenId } from './ids.ts';
import { line, shortReason, text } from './text.ts';

/** Kinds of photos of a specimen; told from their content. */
export const photoType = v.picklist(['image/jpeg', 'image/png', 'image/webp']);

/** A photo of a specimen: hash and size are those of the file as it lies on the disk, without its place. */
const specimenPhoto = v.strictObject({
  photo: mediaId,
  type: photoType,
  size: v.pipe(v.number(), v.integer(), v.minValue(1)),
  sha256: sha256Hex,
  caption: v.string(),
});

/**
 * Events of the photos of a specimen. They stand in the register and in the evaluations of the specimen: those under way
 * learn of what is added and said, every one that holds a photo learns that its file is gone, also after the lock.
 */
export const specimenPhotoEvents = [
  v.strictObject({
    type: v.literal('specimen-photo-added'),
    data: v.strictObject({ specimen: specimenId, ...specimenPhoto.entries }),
  }),
  v.strictObject({
    type: v.literal('specimen-photo-captioned'),
    data: v.strictObject({
      specimen: specimenId,
      photo: mediaId,
      old: v.string(),
      new: v.string(),
    }),
  }),
  v.strictObject({
    type: v.literal('specimen-photo-removed'),
    data: v.strictObject({ specimen: specimenId, photo: mediaId, reason: text(1, 2000) }),
  }),
] as const;
export type SpecimenPhotoEvent = v.InferOutput<(typeof specimenPhotoEvents)[number]>;

const caption = line(3, 200);

/** Commands on the photos of a specimen. The file of one that is added was uploaded before, under its id. */
export const specimenPhotoCommands = [
  v.strictObject({
    type: v.literal('add-specimen-photo'),
    specimen: specimenId,
    photo: mediaId,
    caption,
    /** Whoever sends it looked: no face can be seen. */
    withoutFaces: v.literal(true),
  }),
  v.strictObject({
    type: v.literal('caption-specimen-photo'),
    specimen: specimenId,
    photo: mediaId,
    caption,
  }),
  v.strictObject({
    type: v.literal('remove-specimen-photo'),
    specimen: specimenId,
    photo: mediaId,
    reason: shortReason,
  }),
] as const;
export type SpecimenPhotoCommand = v.InferOutput<(typeof specimenPhotoCommands)[number]>;

/** A photo of a specimen that stands, as those see it who may. `addedAt` is ISO-8601 UTC. */
export type SpecimenPhoto = v.InferOutput<typeof specimenPhoto> & { addedAt: string };
