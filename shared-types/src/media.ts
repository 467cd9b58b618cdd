import * as v from 'valibot';
import { BOARD_KEY } from './board-key.ts';
import { slug } from './ids.ts';

/** Kinds of photos and clips that are kept; told from their content. */
export const mediaType = v.picklist([
  'image/jpeg',
  'image/png',
  'image/webp',
  'video/mp4',
  'video/quicktime',
]);
export type MediaType = v.InferOutput<typeof mediaType>;

/** What a photo or clip shows: a trial by its key on the board, or a task as a whole. */
export const mediaPlace = v.variant('of', [
  v.strictObject({ of: v.literal('trial'), key: v.pipe(v.string(), v.regex(BOARD_KEY)) }),
  v.strictObject({ of: v.literal('task'), task: slug }),
]);
export type MediaPlace = v.InferOutput<typeof mediaPlace>;

/**
 * How a reviewer saw the work they rate in a round: in the room; on live video that another program carried; or on what
 * was recorded. Force and feel cannot be judged on either kind of video.
 */
export const OBSERVATIONS = ['present', 'live-elsewhere', 'recorded'] as const;
export const observation = v.picklist(OBSERVATIONS);
export type Observation = v.InferOutput<typeof observation>;

/** Milliseconds from the start of a clip, at most a day. */
export const clipTime = v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(86_400_000));

/** A moment that somebody marked on a clip. */
export interface MediaMoment {
  seat: string;
  /** Milliseconds from the start of the clip. */
  ms: number;
  label: string;
}

/** A photo or clip as its audience sees it. Times are ISO-8601 UTC. */
export interface MediaSlice {
  media: string;
  seat: string;
  place: MediaPlace;
  type: MediaType;
  /** Bytes of the file as it is kept. */
  size: number;
  /** SHA-256 of it. */
  sha256: string;
  description: string;
  attachedAt: string;
  moments: MediaMoment[];
  /** Reviewers who played the clip; empty until the round in which they rate is opened. */
  watchedBy: string[];
  /** The file is gone from the disk; this and its hash stay. */
  removed: { by: string; reason: string; at: string } | null;
}
