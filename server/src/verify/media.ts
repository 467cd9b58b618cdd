import type { EvaluationEvent } from '@unhindered/shared-types';

type MediaEvent = Extract<
  EvaluationEvent,
  { type: 'media-attached' | 'media-removed' | 'moment-marked' }
>;

/** Photos and clips by id: hash, whether it plays, whether its file stands. */
export type MediaSeen = Map<string, { sha256: string; clip: boolean; standing: boolean }>;

/** Whether an event is of a photo or clip. */
export const isMediaEvent = (event: EvaluationEvent): event is MediaEvent =>
  ['media-attached', 'media-removed', 'moment-marked'].includes(event.type);

/** Takes an event of a photo or clip; returns what is wrong with it in the light of the ones before. */
export const takeMedia = (
  { media }: { media: MediaSeen },
  event: MediaEvent,
  actor: string,
): string | undefined => {
  const known = media.get(event.data.media);
  if (event.type === 'media-attached') {
    const { sha256, type, seat } = event.data;
    if (seat !== actor) return 'nobody attaches this for another seat';
    if (known) return 'the photo or clip is attached already';
    if ([...media.values()].some((m) => m.standing && m.sha256 === sha256)) {
      return 'the same file stands already';
    }
    media.set(event.data.media, { sha256, clip: type.startsWith('video/'), standing: true });
    return undefined;
  }
  if (known?.standing !== true) return 'no such photo or clip stands';
  if (event.type === 'media-removed') {
    known.standing = false;
    return undefined;
  }
  if (!known.clip) return 'moments are marked on clips';
  return event.data.seat === actor ? undefined : 'nobody marks this for another seat';
};
