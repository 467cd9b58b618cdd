import {
  done,
  protocolTasks,
  refused,
  type MediaPlace,
  type Outcome,
  type Protocol,
} from '@unhindered/shared-types';
import { currentRound, type EvaluationState, type MediaState } from '../state.ts';
import { audienceOf, mayTalkAbout, seesTrials } from '../visibility.ts';
import type { Handlers } from './context.ts';

/** Photos and clips of one evaluation that stand at a time. */
const MOST_MEDIA = 200;

/** The task that a photo or clip belongs to; undefined when the trial or task is not there. */
const taskOf = (
  state: EvaluationState,
  protocol: Protocol,
  place: MediaPlace,
): string | undefined =>
  place.of === 'trial'
    ? state.trials.get(place.key)?.entry.task
    : protocolTasks(protocol).find((t) => t.id === place.task)?.id;

const standing = (state: EvaluationState): MediaState[] =>
  [...state.media.values()].filter((m) => m.removed === null);

const notThere = (media: string): Outcome<never> =>
  refused('unknown-thing', 'There is no such photo or clip, or it was removed.', { media });

/**
 * ME-16: an event holds the hash of the file as it is kept; one file stands once in an evaluation, so that removing it
 * leaves nothing. ME-20: the record says which reviewer played which clip, and how each says they saw the work of a
 * round; nobody else learns either before the opening. ME-17: who rates marks no moments on a clip of a task while its round is sealed: that would be talk.
 */
export const mediaHandlers: Pick<
  Handlers,
  'attach-media' | 'remove-media' | 'mark-moment' | 'watch-clip' | 'state-observation'
> = {
  'attach-media': (state, { media, place, description }, { protocol, actor: seat, upload }) => {
    if (upload?.media !== media) {
      return refused('unknown-thing', 'This upload is not complete. Send the file again.', {
        media,
      });
    }
    if (taskOf(state, protocol, place) === undefined) {
      return refused('unknown-thing', 'The trial or task that it belongs to is not there.', {
        place,
      });
    }
    const others = standing(state);
    if (others.some((m) => m.sha256 === upload.sha256)) {
      return refused('bad-input', 'This very file is attached to this evaluation already.');
    }
    if (others.length >= MOST_MEDIA) {
      const most = String(MOST_MEDIA);
      return refused('bad-input', `An evaluation has room for ${most} photos and clips.`);
    }
    const { type, size, sha256 } = upload;
    const data = { media, seat, place, type, size, sha256, description };
    return done([{ type: 'media-attached', data }]);
  },

  'remove-media': (state, { media, reason }) => {
    if (state.media.get(media)?.removed !== null) return notThere(media);
    return done([{ type: 'media-removed', data: { media, reason } }]);
  },

  'mark-moment': (state, { media, ms, label }, { protocol, actor: seat }) => {
    const audience = audienceOf(state, seat);
    const found = state.media.get(media);
    if (!audience || !seesTrials(state, audience, protocol)) return notThere(media);
    if (found?.removed !== null || !found.type.startsWith('video/')) return notThere(media);
    const task = taskOf(state, protocol, found.place) ?? null;
    const rates = audience === 'reviewer' || audience === 'onlooker';
    if (rates && !mayTalkAbout(state, task)) {
      return refused('round-sealed', 'Moments of this task are marked after the opening.', {
        media,
      });
    }
    return done([{ type: 'moment-marked', data: { media, seat, ms, label } }]);
  },

  'watch-clip': (state, { media }, { protocol, actor: seat }) => {
    const audience = audienceOf(state, seat);
    const found = state.media.get(media);
    if (!audience || !seesTrials(state, audience, protocol)) return notThere(media);
    if (found?.removed !== null || !found.type.startsWith('video/')) return notThere(media);
    if (found.watchedBy.includes(seat)) return done([]);
    return done([{ type: 'clip-watched', data: { media, seat } }]);
  },

  'state-observation': (state, { how }, { actor: seat }) => {
    const round = currentRound(state);
    if (!round?.sheets.has(seat)) {
      return refused('not-in-round', 'You have no sheet in this round.');
    }
    if (round.observed.get(seat) === how) return done([]);
    return done([{ type: 'observation-stated', data: { round: round.number, seat, how } }]);
  },
};
