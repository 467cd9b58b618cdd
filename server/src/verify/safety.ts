import type { EvaluationEvent } from '@unhindered/shared-types';

type SafetyLogged = Extract<
  EvaluationEvent,
  {
    type:
      | 'everyone-stopped'
      | 'everyone-resumed'
      | 'briefing-acknowledged'
      | 'consent-recorded'
      | 'consent-withdrawn'
      | 'model-trials-decided'
      | 'incident-noted';
  }
>;

/** What the verifier keeps of the day: whether all stand still, who has left, whose trials were taken out. */
export interface SafetyReplay {
  safety: {
    stopped: boolean;
    /** Models by code, and whether they have left. */
    models: Map<string, boolean>;
    /** Models whose trials do not count. */
    leftOut: Set<string>;
    incidents: Set<string>;
  };
  stage: string;
  /** Keys of board entries. */
  entries: Set<string>;
}

export const emptySafety = (): SafetyReplay['safety'] => ({
  stopped: false,
  models: new Map(),
  leftOut: new Set(),
  incidents: new Set(),
});

const TYPES: readonly string[] = [
  'everyone-stopped',
  'everyone-resumed',
  'briefing-acknowledged',
  'consent-recorded',
  'consent-withdrawn',
  'model-trials-decided',
  'incident-noted',
] satisfies SafetyLogged['type'][];

/** Whether an event is of the safety of the day. */
export const isSafetyLogged = (event: EvaluationEvent): event is SafetyLogged =>
  TYPES.includes(event.type);

/** What happened before the evaluation was made stands among its first events, whoever makes it. */
const foreign = (
  r: SafetyReplay,
  { seat, since }: { seat: string; since?: string | undefined },
  actor: string,
): string | undefined => {
  if (since !== undefined) {
    return r.stage === 'preparing' ? undefined : 'only the first events tell of an earlier time';
  }
  return seat === actor ? undefined : 'nobody does this for another seat';
};

const takeModel = (
  { safety }: SafetyReplay,
  event: Extract<
    SafetyLogged,
    { type: 'consent-recorded' | 'consent-withdrawn' | 'model-trials-decided' }
  >,
): string | undefined => {
  const { model } = event.data;
  const left = safety.models.get(model);
  if (event.type === 'consent-recorded') {
    if (left !== undefined) return 'the consent of this model is recorded already';
    safety.models.set(model, false);
    return undefined;
  }
  if (event.type === 'consent-withdrawn') {
    if (left !== false) return 'no such model is there to leave';
    safety.models.set(model, true);
    return undefined;
  }
  if (left !== true) return 'the model has not left';
  if (event.data.count) safety.leftOut.delete(model);
  else safety.leftOut.add(model);
  return undefined;
};

/** SD-6: takes an event of the day; returns what is wrong with it in the light of the ones before. */
export const takeSafety = (
  r: SafetyReplay,
  event: SafetyLogged,
  actor: string,
): string | undefined => {
  const strange = event.type === 'model-trials-decided' ? undefined : foreign(r, event.data, actor);
  if (strange !== undefined) return strange;
  switch (event.type) {
    case 'everyone-stopped':
      r.safety.stopped = true;
      return undefined;
    case 'everyone-resumed':
      if (!r.safety.stopped) return 'nobody had stopped';
      r.safety.stopped = false;
      return undefined;
    case 'briefing-acknowledged':
      return undefined;
    case 'incident-noted': {
      const { incident, note } = event.data;
      if (r.safety.incidents.has(incident)) return 'the incident is noted already';
      if (note.trial !== null && !r.entries.has(note.trial)) return 'the trial is not there';
      r.safety.incidents.add(incident);
      return undefined;
    }
    case 'consent-recorded':
    case 'consent-withdrawn':
    case 'model-trials-decided':
      return takeModel(r, event);
  }
};
