import * as v from 'valibot';
import { mediaId, seatId, sha256Hex } from './ids.ts';
import { clipTime, mediaPlace, mediaType } from './media.ts';
import { text } from './text.ts';

/** A photo or clip is kept: its hash and size are those of the file as it lies on the disk, without its place. */
export const mediaAttached = v.strictObject({
  type: v.literal('media-attached'),
  data: v.strictObject({
    media: mediaId,
    seat: seatId,
    place: mediaPlace,
    type: mediaType,
    size: v.pipe(v.number(), v.integer(), v.minValue(1)),
    sha256: sha256Hex,
    description: v.string(),
  }),
});
/** Its file is gone from the disk. May stand after the lock: it changes no figure. */
export const mediaRemoved = v.strictObject({
  type: v.literal('media-removed'),
  data: v.strictObject({ media: mediaId, reason: text(1, 2000) }),
});
export const momentMarked = v.strictObject({
  type: v.literal('moment-marked'),
  data: v.strictObject({ media: mediaId, seat: seatId, ms: clipTime, label: v.string() }),
});
