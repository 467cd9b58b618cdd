import * as v from 'valibot';
import { mediaId, seatId, sha256Hex } from './ids.ts';
import { clipTime, mediaPlace, mediaType, observation } from './media.ts';
import { text } from './text.ts';

/** A photo or clip is kept: its hash and size are those of the file as it lies on the disk, without its place. */
const mediaAttached = v.strictObject({
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
const mediaRemoved = v.strictObject({
  type: v.literal('media-removed'),
  data: v.strictObject({ media: mediaId, reason: text(1, 2000) }),
});
const momentMarked = v.strictObject({
  type: v.literal('moment-marked'),
  data: v.strictObject({ media: mediaId, seat: seatId, ms: clipTime, label: v.string() }),
});
/** A reviewer played the clip: once for each, however often they did. */
const clipWatched = v.strictObject({
  type: v.literal('clip-watched'),
  data: v.strictObject({ media: mediaId, seat: seatId }),
});
/** How a reviewer saw the work of a round; the last statement stands. */
const observationStated = v.strictObject({
  type: v.literal('observation-stated'),
  data: v.strictObject({
    round: v.pipe(v.number(), v.integer(), v.minValue(1)),
    seat: seatId,
    how: observation,
  }),
});

/** Events of photos and clips, and of how the work was seen. */
export const mediaEvents = [
  mediaAttached,
  mediaRemoved,
  momentMarked,
  clipWatched,
  observationStated,
] as const;
