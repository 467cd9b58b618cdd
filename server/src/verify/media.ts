import type { EvaluationEvent } from '@unhindered/shared-types';

const TYPES = [
  'media-attached',
  'media-removed',
  'moment-marked',
  'clip-watched',
  'observation-stated',
] as const;
type MediaEvent = Extract<EvaluationEvent, { type: (typeof TYPES)[number] }>;

/** Photos and clips by id: hash, whether it plays, whether its file stands. */
export type MediaSeen = Map<
  string,
  { sha256: string; clip: boolean; standing: boolean; watchedBy: Set<string> }
>;

/** What these events need of the replay. */
interface Seen {
  media: MediaSeen;
  rounds: readonly { sheets: ReadonlySet<string> }[];
}

const observationFault = (
  { rounds }: Seen,
  { round, seat }: Extract<MediaEvent, { type: 'observation-stated' }>['data'],
  actor: string,
): string | undefined => {
  if (seat !== actor) return 'nobody states this for another seat';
  if (round !== rounds.length) return 'is of another round than the present one';
  return rounds.at(-1)?.sheets.has(seat) ? undefined : 'the seat has no sheet in the round';
};

/** Whether an event is of a photo or clip, or of how the work was seen. */
export const isMediaEvent = (event: EvaluationEvent): event is MediaEvent =>
  TYPES.some((type) => type === event.type);

/** Takes an event of a photo or clip; returns what is wrong with it in the light of the ones before. */
export const takeMedia = (r: Seen, event: MediaEvent, actor: string): string | undefined => {
  if (event.type === 'observation-stated') return observationFault(r, event.data, actor);
  const { media } = r;
  const known = media.get(event.data.media);
  if (event.type === 'media-attached') {
    const { sha256, type, seat } = event.data;
    if (seat !== actor) return 'nobody attaches this for another seat';
    if (known) return 'the photo or clip is attached already';
    if ([...media.values()].some((m) => m.standing && m.sha256 === sha256)) {
      return 'the same file stands already';
    }
    media.set(event.data.media, {
      sha256,
      clip: type.startsWith('video/'),
      standing: true,
      watchedBy: new Set(),
    });
    return undefined;
  }
  if (known?.standing !== true) return 'no such photo or clip stands';
  if (event.type === 'media-removed') {
    known.standing = false;
    return undefined;
  }
  if (!known.clip) return 'clips are played and marked, photos are not';
  const { seat } = event.data;
  if (seat !== actor) return 'nobody says this for another seat';
  if (event.type === 'clip-watched') {
    if (known.watchedBy.has(seat)) return 'the clip was played already';
    known.watchedBy.add(seat);
  }
  return undefined;
};
