import type { Envelope } from '@unhindered/shared-types';

/** One trial as the record tells it: a timed and measured performance of a task. */
export interface RecordTrial {
  task: string;
  at: string;
  /** Server number of the event that put it on record. */
  seq: number;
}

/** The trials on record, oldest first: events whose type begins with "trial". */
export const recordTrials = (
  events: readonly (Pick<Envelope, 'type' | 'at' | 'seq'> & { data: object })[],
): RecordTrial[] =>
  events
    .filter((e) => e.type.startsWith('trial'))
    .map(({ data, at, seq }) => ({
      task: 'task' in data && typeof data.task === 'string' ? data.task : '',
      at,
      seq,
    }));
