import type { Result } from '../../shared-types/src/index.ts';
import { indexOf, withEvent, type BundleJson, type EventJson } from './two-verifiers.ts';

/** One way to edit a record with trials, and whether it holds then: it may say nothing that is checked. */
export interface TrialEdit {
  name: string;
  change: (b: BundleJson) => void;
  holds: boolean;
}

export type Entry = Record<string, unknown>;
type Evidence = NonNullable<Result['evidence']>;

export const eventOf = (b: BundleJson, at: number): EventJson =>
  JSON.parse(b.events[at] ?? '') as EventJson;
export const entryOf = ({ data }: EventJson): Entry => data['entry'] as Entry;

/** The first event of this type of which a word is true. */
export const place = (
  b: BundleJson,
  type: string,
  is: (e: EventJson) => boolean = () => true,
): number => {
  const at = b.events.findIndex((text) => {
    const event = JSON.parse(text) as EventJson;
    return event.type === type && is(event);
  });
  if (at < 0) throw new Error(`there is no such "${type}"`);
  return at;
};

const isTrial = (more: Entry) => (e: EventJson) =>
  Object.entries({ kind: 'trial', ...more }).every(([name, value]) => entryOf(e)[name] === value);

/** Changes a trial: one that counts, done in 44.4 s by an operator of its own seat, or the first of those named. */
export const onTrial =
  (
    change: (entry: Entry) => void,
    which: Entry = { operator: 'K-4' },
    also: (entry: Entry) => boolean = () => true,
  ) =>
  (b: BundleJson): void => {
    const named = isTrial(which);
    const at = place(b, 'entry-posted', (e) => named(e) && also(entryOf(e)));
    withEvent(b, at, (e) => change(entryOf(e)));
  };

export const onVoid =
  (change: (e: EventJson, b: BundleJson) => void, role = 'moderator') =>
  (b: BundleJson): void => {
    const is = (e: EventJson): boolean => entryOf(e)['kind'] === 'trial-void' && e.role === role;
    withEvent(b, place(b, 'entry-posted', is), (e) => change(e, b));
  };

export const onGate =
  (task: string, change: (data: Entry) => void, confirmed?: boolean) =>
  (b: BundleJson): void => {
    const is = ({ data }: EventJson): boolean =>
      data['task'] === task && (confirmed === undefined || data['confirmed'] === confirmed);
    withEvent(b, place(b, 'gate-decided', is), (e) => change(e.data));
  };

/** Turns the last word on the trials of a model who left. */
export const onModel =
  (model: string, count: boolean) =>
  (b: BundleJson): void => {
    const at = b.events.findLastIndex((text) => {
      const { type, data } = JSON.parse(text) as EventJson;
      return type === 'model-trials-decided' && data['model'] === model;
    });
    withEvent(b, at, (e) => (e.data['count'] = count));
  };

/** Changes the result in the lock and beside it alike, as who holds the key could. */
export const onResult =
  (change: (r: Result) => void) =>
  (b: BundleJson): void => {
    change(b['result'] as Result);
    withEvent(b, indexOf(b, 'evaluation-locked'), (e) => change(e.data['result'] as Result));
  };

export const onEvidence = (task: string, change: (row: Evidence[number]) => void) =>
  onResult((r) => {
    const row = r.evidence?.find((x) => x.task === task);
    if (!row) throw new Error(`no evidence on ${task}`);
    change(row);
  });

export const flip = (task: string) =>
  onResult((r) => {
    for (const t of r.tasks) if (t.task === task) t.divergent = !t.divergent;
  });

/** Makes an event say nothing. */
export const silence = (e: EventJson): void =>
  void Object.assign(e, { type: 'task-presented', role: 'moderator', data: { task: null } });

/** Puts an entry under another seat, key and all. */
export const under = (e: EventJson, seat: string): void => {
  e.data['key'] = String(e.data['key']).replace(String(e.data['seat']), seat);
  e.data['seat'] = seat;
};

export const seatOfRole = (b: BundleJson, role: string): string =>
  String(
    eventOf(
      b,
      place(b, 'seat-taken', (e) => e.data['role'] === role),
    ).data['seat'],
  );
