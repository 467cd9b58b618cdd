import { cleanText, MEDICAL_DIRECTION, seenLength, type Incident } from '@unhindered/shared-types';

/** A note as it is being typed. `when` is a local day and time as the field holds it. */
export interface IncidentDraft {
  what: string;
  when: string;
  /** A task's id, or `trial:` and a trial's key; empty for neither. */
  about: string;
  done: string;
  direction: Incident['direction'] | null;
}

const pad = (n: number): string => String(n).padStart(2, '0');

/** A moment as a field for local day and time holds it. */
export const localMoment = (at: Date): string =>
  `${String(at.getFullYear())}-${pad(at.getMonth() + 1)}-${pad(at.getDate())}T${pad(at.getHours())}:${pad(at.getMinutes())}`;

export const emptyIncident = (now: Date): IncidentDraft => ({
  what: '',
  when: localMoment(now),
  about: '',
  done: '',
  direction: null,
});

/** A clock that is a little ahead of ours is no fault. */
const AHEAD_MS = 120_000;

/** The moment that was typed; undefined when it is none, or lies ahead. */
const momentOf = (draft: IncidentDraft, now: Date): string | undefined => {
  const at = Date.parse(draft.when);
  if (!Number.isFinite(at) || at > now.getTime() + AHEAD_MS) return undefined;
  return new Date(at).toISOString();
};

/** A part of a note that can be missing or wrong. */
export type IncidentPart = 'what' | 'when' | 'done' | 'direction';

/** The note, or the first part of it that is missing or wrong. */
export const readIncident = (
  draft: IncidentDraft,
  now: Date,
): { note: Incident } | { fault: IncidentPart } => {
  const [what, done] = [cleanText(draft.what).trim(), cleanText(draft.done).trim()];
  if (seenLength(what) < 3) return { fault: 'what' };
  const happenedAt = momentOf(draft, now);
  if (happenedAt === undefined) return { fault: 'when' };
  if (seenLength(done) < 3) return { fault: 'done' };
  const direction = MEDICAL_DIRECTION.find((d) => d === draft.direction);
  if (!direction) return { fault: 'direction' };
  const trial = draft.about.startsWith('trial:') ? draft.about.slice('trial:'.length) : null;
  const task = trial === null && draft.about !== '' ? draft.about : null;
  return { note: { what, happenedAt, task, trial, done, direction } };
};
