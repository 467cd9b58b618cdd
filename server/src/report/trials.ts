import type { Envelope, EvaluationEvent, TrialEntry } from '@unhindered/shared-types';
import type { EvaluationState } from '../evaluation/state.ts';

/** One trial as the record tells it: a timed and measured performance of a task. */
export interface RecordTrial {
  /** Server number of the event that put it on record, and the server's time. */
  seq: number;
  /** Its key on the board. */
  key: string;
  at: string;
  task: string;
  entry: TrialEntry;
  /** The seat that entered it. */
  seat: string;
  /** Whether it counts, was corrected by a later one, is void, or was taken out because its model left. */
  status: 'counts' | 'corrected' | 'void' | 'model-left';
  voidReason: string | null;
}

/** The trials on record, oldest first, corrected and void ones among them. */
export const recordTrials = (
  state: EvaluationState,
  events: readonly (EvaluationEvent & Pick<Envelope, 'seq' | 'at'>)[],
): RecordTrial[] =>
  events.flatMap(({ type, data, seq, at }) => {
    const trial = type === 'entry-posted' ? state.trials.get(data.key) : undefined;
    if (!trial) return [];
    const { entry, seat, replacedBy, voided, withdrew } = trial;
    const stands = withdrew?.counts === false ? 'model-left' : 'counts';
    const status = replacedBy !== null ? 'corrected' : voided ? 'void' : stands;
    return [
      {
        seq,
        key: trial.key,
        at,
        task: entry.task,
        entry,
        seat,
        status,
        voidReason: voided?.reason ?? null,
      },
    ];
  });
