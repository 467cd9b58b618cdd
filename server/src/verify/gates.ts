import type { EvaluationEvent, Protocol } from '@unhindered/shared-types';
import { trialStatus } from './figures/evidence.ts';
import { emptyReplay, takeEvent, tasksOf, type Replay } from './replay.ts';

type Event<T extends EvaluationEvent['type']> = Extract<EvaluationEvent, { type: T }>;

const gateFault = (r: Replay, p: Protocol, { data }: Event<'gate-decided'>): string | undefined => {
  const task = tasksOf(p).find((t) => t.id === data.task);
  if (!task) return 'decides on a task that the protocol does not have';
  const backed = trialStatus(r, p, task) === 'met';
  if (backed === data.backedByTrials) return undefined;
  return `says that the trials ${backed ? 'do not ' : ''}back it, and they ${backed ? 'do' : 'do not'}`;
};

/** A task whose trials meet the criterion and on which nobody decided in the light of them. */
const undecided = (r: Replay, p: Protocol): string | undefined => {
  const opened = new Set(r.rounds.filter((x) => x.opened).flatMap((x) => x.tasks));
  return tasksOf(p).find((task) => {
    if (!opened.has(task.id) || trialStatus(r, p, task) !== 'met') return false;
    const gate = r.gates.get(task.id);
    return !gate || (!gate.confirmed && !gate.backedByTrials);
  })?.id;
};

const entryFault = (p: Protocol, { data }: Event<'entry-posted'>): string | undefined => {
  const { entry } = data;
  if (entry.kind !== 'trial') return undefined;
  if (!tasksOf(p).some((t) => t.id === entry.task)) return 'is a trial of a task that is not there';
  const known = entry.measures.every((m) => p.measures.some((x) => x.id === m.measure));
  if (!known) return 'measures what the protocol does not';
  return p.states.some((s) => s.id === entry.state) ? undefined : 'is in a state that is not there';
};

/**
 * Holds the decisions on critical failures against the trials as they stood at that moment, and the lock against
 * decisions that are missing. Returns the number of the first event that does not fit, and why.
 */
export const gateFaults = (
  events: readonly { event: EvaluationEvent; actor: string }[],
  p: Protocol,
): { seq: number; fault: string } | undefined => {
  const r = emptyReplay();
  for (const [seq, { event, actor }] of events.entries()) {
    let fault: string | undefined;
    if (event.type === 'gate-decided') fault = gateFault(r, p, event);
    else if (event.type === 'entry-posted') fault = entryFault(p, event);
    else if (event.type === 'evaluation-locked') {
      const task = undecided(r, p);
      if (task !== undefined) fault = `the trials of "${task}" meet its criterion, undecided`;
    }
    if (fault !== undefined) return { seq, fault };
    takeEvent(r, event, actor);
  }
  return undefined;
};
