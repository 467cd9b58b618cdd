import {
  markWithdrawn,
  TAKES_PART,
  type Envelope,
  type EvaluationEvent,
  type ListedTrial,
  type ModelSlice,
  type SafetyEvent,
  type SafetySlice,
} from '@unhindered/shared-types';
import { applySafety } from './safety-state.ts';
import type { EvaluationState } from './state.ts';

/** SD-5: how a trial stands whose model has left: it counts and is marked until a moderator says otherwise. */
const withdrewOf = (state: EvaluationState, model: string): ListedTrial['withdrew'] => {
  const withdrawn = state.safety.models.get(model)?.withdrawn;
  if (!withdrawn) return undefined;
  return { at: withdrawn.at, counts: state.modelTrials.get(model)?.count ?? true };
};

const marked = (state: EvaluationState, model: string | undefined): EvaluationState => {
  const withdrew = model === undefined ? undefined : withdrewOf(state, model);
  if (model === undefined || !withdrew) return state;
  return { ...state, trials: markWithdrawn(state.trials, model, withdrew) };
};

type SafetyLogged = Extract<
  EvaluationEvent,
  { type: SafetyEvent['type'] | 'model-trials-decided' | 'incident-noted' | 'entry-posted' }
>;

/** The evaluation after an event of the day, or after a trial was put on record: marks what its model has left. */
export const foldSafety = (
  state: EvaluationState,
  event: SafetyLogged & Pick<Envelope, 'at' | 'actor'>,
): EvaluationState => {
  switch (event.type) {
    case 'everyone-stopped':
    case 'everyone-resumed':
    case 'briefing-acknowledged':
    case 'consent-recorded':
      return { ...state, safety: applySafety(state.safety, event) };
    case 'consent-withdrawn':
      return marked({ ...state, safety: applySafety(state.safety, event) }, event.data.model);
    case 'model-trials-decided': {
      const { model, count, reason } = event.data;
      const decided = { at: event.at, seat: event.actor, count, reason };
      const next = { ...state, modelTrials: new Map(state.modelTrials).set(model, decided) };
      return marked(next, model);
    }
    case 'incident-noted': {
      const { incident, seat, note } = event.data;
      return {
        ...state,
        incidents: [...state.incidents, { ...note, incident, seat, at: event.at }],
      };
    }
    case 'entry-posted': {
      const { entry } = event.data;
      return entry.kind === 'trial' ? marked(state, entry.model) : state;
    }
  }
};

/** Seats that take part in trials and have not acknowledged this text. */
const owing = (state: EvaluationState, text: string): string[] =>
  [...state.seats.values()]
    .filter((s) => !s.revoked && TAKES_PART.includes(s.role))
    .map((s) => s.seat)
    .filter((seat) => !(state.safety.briefed.get(text)?.has(seat) ?? false));

/** The models of the day, with what was decided about their trials here. */
export const modelSlices = (state: EvaluationState): ModelSlice[] =>
  [...state.safety.models].map(([model, known]) => ({
    model,
    ...known,
    trials: state.modelTrials.get(model) ?? null,
  }));

/**
 * SD-4: what an audience sees of the safety of the day, with who has not acknowledged the briefing. `text` is SHA-256 of the protocol's session caution. An incident may
 * tell how a trial went: who may not see the trials yet (SE-12) does not see it either.
 */
export const safetySlice = (
  state: EvaluationState,
  text: string,
  seesIncidents: boolean,
): SafetySlice => ({
  stops: [...state.safety.stops],
  briefing: {
    text,
    acknowledged: [...(state.safety.briefed.get(text) ?? [])].map(([seat, at]) => ({ seat, at })),
    owed: owing(state, text),
  },
  models: modelSlices(state),
  incidents: seesIncidents ? [...state.incidents] : [],
});
