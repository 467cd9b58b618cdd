import type { Envelope, ModelSlice, SafetyEvent, StopSlice } from '@unhindered/shared-types';

/** A model as the day knows it: who recorded the consent, and who said that they left. */
export type ModelState = Pick<ModelSlice, 'consent' | 'withdrawn'>;

/** The safety of a panel's day, as its log and the logs of its evaluations tell it. */
export interface SafetyState {
  /** Every stop, in order; the last one holds while it is not resumed. */
  stops: readonly StopSlice[];
  /** SHA-256 of a briefing → seat → when it was acknowledged first. */
  briefed: ReadonlyMap<string, ReadonlyMap<string, string>>;
  /** By code. */
  models: ReadonlyMap<string, ModelState>;
}

export const noSafety: SafetyState = { stops: [], briefed: new Map(), models: new Map() };

/** The stop that holds now; undefined while the day goes on. */
export const standingStop = ({ stops }: SafetyState): StopSlice | undefined => {
  const last = stops.at(-1);
  return last?.resumed === null ? last : undefined;
};

const stopped = (
  state: SafetyState,
  { seat, reason }: Extract<SafetyEvent, { type: 'everyone-stopped' }>['data'],
  at: string,
): SafetyState => {
  const standing = standingStop(state);
  if (!standing) {
    const stop = { at, seat, reason, calls: [], resumed: null };
    return { ...state, stops: [...state.stops, stop] };
  }
  if (reason === null) return state;
  const more = { ...standing, calls: [...standing.calls, { at, seat, reason }] };
  return { ...state, stops: [...state.stops.slice(0, -1), more] };
};

const withModel = (state: SafetyState, code: string, model: ModelState): SafetyState => ({
  ...state,
  models: new Map(state.models).set(code, model),
});

/** The day after one more event. What an event says of an earlier time, `since`, is the time it has. */
export const applySafety = (
  state: SafetyState,
  event: SafetyEvent & Pick<Envelope, 'at'>,
): SafetyState => {
  const { seat } = event.data;
  const at = 'since' in event.data ? (event.data.since ?? event.at) : event.at;
  switch (event.type) {
    case 'everyone-stopped':
      return stopped(state, event.data, at);
    case 'everyone-resumed': {
      const standing = standingStop(state);
      if (!standing) return state;
      const resumed = { at, seat, measures: event.data.measures };
      return { ...state, stops: [...state.stops.slice(0, -1), { ...standing, resumed }] };
    }
    case 'briefing-acknowledged': {
      const { text } = event.data;
      const known = state.briefed.get(text) ?? new Map<string, string>();
      if (known.has(seat)) return state;
      return { ...state, briefed: new Map(state.briefed).set(text, new Map(known).set(seat, at)) };
    }
    case 'consent-recorded': {
      const { model } = event.data;
      if (state.models.has(model)) return state;
      return withModel(state, model, { consent: { at, seat }, withdrawn: null });
    }
    case 'consent-withdrawn': {
      const known = state.models.get(event.data.model);
      if (!known || known.withdrawn) return state;
      return withModel(state, event.data.model, { ...known, withdrawn: { at, seat } });
    }
  }
};
