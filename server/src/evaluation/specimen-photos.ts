import {
  done,
  photoType,
  refused,
  type Envelope,
  type MediaType,
  type Outcome,
  type SpecimenPhoto,
  type SpecimenPhotoCommand,
  type SpecimenPhotoEvent,
} from '@unhindered/shared-types';
import * as v from 'valibot';

/** Photos of one specimen that stand at a time. */
const MOST_PHOTOS = 24;

/** A file as it is kept, for the photo that it is to be. */
interface Uploaded {
  media: string;
  type: MediaType;
  size: number;
  sha256: string;
}

/** A photo of a specimen with all that was said of it. */
export interface SpecimenPhotoState extends SpecimenPhoto {
  specimen: string;
  /** Captions of before, oldest first. */
  captions: readonly { at: string; old: string }[];
  /** Its file is gone from the disk; this and its hash stay. */
  removed: { reason: string; at: string } | null;
}

/** Photos by id, removed ones too. */
export type SpecimenPhotos = ReadonlyMap<string, SpecimenPhotoState>;

/** SP-9: the photos after one more event of them. A caption keeps the old one; nothing is ever taken out. */
export const applyPhoto = (
  photos: SpecimenPhotos,
  { type, data, at }: SpecimenPhotoEvent & Pick<Envelope, 'at'>,
): SpecimenPhotos => {
  const next = new Map(photos);
  if (type === 'specimen-photo-added') {
    return next.set(data.photo, { ...data, addedAt: at, captions: [], removed: null });
  }
  const photo = photos.get(data.photo);
  if (!photo) throw new Error(`there is no photo ${data.photo}`);
  if (type === 'specimen-photo-removed') {
    return next.set(data.photo, { ...photo, removed: { reason: data.reason, at } });
  }
  const captions = [...photo.captions, { at, old: data.old }];
  return next.set(data.photo, { ...photo, caption: data.new, captions });
};

/** The same for the state of an evaluation. */
export const foldPhoto = <S extends { specimenPhotos: SpecimenPhotos }>(
  state: S,
  event: SpecimenPhotoEvent & Pick<Envelope, 'at'>,
): S => ({ ...state, specimenPhotos: applyPhoto(state.specimenPhotos, event) });

/** Whether a file is that of a photo that stands. */
export const isShown = (photos: SpecimenPhotos, sha256: string): boolean =>
  [...photos.values()].some((p) => p.removed === null && p.sha256 === sha256);

const adding = (
  photos: SpecimenPhotos,
  { specimen, photo, caption }: Extract<SpecimenPhotoCommand, { type: 'add-specimen-photo' }>,
  upload: Uploaded | undefined,
): Outcome<SpecimenPhotoEvent[]> => {
  if (upload?.media !== photo || !v.is(photoType, upload.type)) {
    return refused('unknown-thing', 'This upload is not complete. Send the file again.', { photo });
  }
  const standing = [...photos.values()].filter(
    (p) => p.specimen === specimen && p.removed === null,
  );
  const { type, size, sha256 } = upload;
  if (standing.some((p) => p.sha256 === sha256)) {
    return refused('bad-input', 'This very photo is with this specimen already.');
  }
  if (standing.length >= MOST_PHOTOS) {
    const most = String(MOST_PHOTOS);
    return refused('bad-input', `A specimen has room for ${most} photos. Remove one first.`);
  }
  const data = { specimen, photo, type, size, sha256, caption };
  return done([{ type: 'specimen-photo-added', data }]);
};

/** SP-9: the event of a photo that is added, captioned or removed. That the specimen is registered is the caller's to know. */
export const decidePhoto = (
  photos: SpecimenPhotos,
  command: SpecimenPhotoCommand,
  upload: Uploaded | undefined,
): Outcome<SpecimenPhotoEvent[]> => {
  if (command.type === 'add-specimen-photo') return adding(photos, command, upload);
  const { specimen, photo } = command;
  const found = photos.get(photo);
  if (found?.specimen !== specimen || found.removed !== null) {
    return refused('unknown-thing', 'There is no such photo, or it was removed.', { photo });
  }
  if (command.type === 'remove-specimen-photo') {
    const { reason } = command;
    return done([{ type: 'specimen-photo-removed', data: { specimen, photo, reason } }]);
  }
  const { caption: old } = found;
  const { caption } = command;
  if (caption === old) return done([]);
  return done([{ type: 'specimen-photo-captioned', data: { specimen, photo, old, new: caption } }]);
};

/** What an evaluation keeps of the photos of a specimen: those that stand when it is made, as events after its first ones. */
export const photosAtStart = (
  photos: SpecimenPhotos | undefined,
  specimen: string,
): SpecimenPhotoEvent[] =>
  [...(photos?.values() ?? [])]
    .filter((p) => p.removed === null)
    .map(({ photo, type, size, sha256, caption }) => ({
      type: 'specimen-photo-added',
      data: { specimen, photo, type, size, sha256, caption },
    }));

/** Whether an event of a photo concerns an evaluation that has these photos. */
export const concerns = (
  photos: SpecimenPhotos,
  { type, data }: SpecimenPhotoEvent,
  over: boolean,
): boolean => {
  if (type === 'specimen-photo-added') return !over;
  const stands = photos.get(data.photo)?.removed === null;
  return stands && (type === 'specimen-photo-removed' || !over);
};
