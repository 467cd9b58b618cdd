import {
  refused,
  type EvaluationEvent,
  type Outcome,
  type PanelEvent,
  type Provenance,
  type RegisterEvent,
  type SystemEvent,
  type WorkshopEvent,
} from '@unhindered/shared-types';
import { signCheckpoint } from '../audit/checkpoint.ts';
import { eventText } from '../audit/event-text.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { Batch, Committed } from '../ports/store.ts';
import { nowText, whyReadOnly, type App } from './app.ts';
import { eachInTurns, turnFor } from './in-turns.ts';
import type { AnyLive } from './live-log.ts';

type AnyEvent = EvaluationEvent | PanelEvent | RegisterEvent | SystemEvent | WorkshopEvent;

/** What of the application a change works with. */
export type ChangeApp = Pick<
  App,
  'store' | 'logs' | 'timers' | 'signer' | 'readOnly' | 'changed' | 'catalogue' | 'links'
>;

/** What a step wants to change, decided on the state as it stands. */
export interface Change<T> {
  events: { log: string; events: readonly AnyEvent[] }[];
  batch?: Omit<Batch, 'appends' | 'checkpoints'>;
  value: T;
}

/** Events after which a checkpoint is signed at once; anything else is covered within a minute. */
const MILESTONES = new Set<string>([
  'evaluation-created',
  'panel-created',
  'server-started',
  'store-restored',
  'key-rotated',
  'specimen-registered',
  'specimen-corrected',
  'specimen-retired',
  // May stand after the lock: a bundle that is taken right afterwards is signed to its end.
  'specimen-photo-added',
  'specimen-photo-captioned',
  'specimen-photo-removed',
  'media-removed',
  'draft-begun',
  'protocol-published',
  'round-opened',
  'task-settled',
  'gate-decided',
  'evaluation-locked',
  'evaluation-withdrawn',
  'evaluation-superseded',
]);

/** Somebody else may take the next number that often before the caller is told to try again. */
const ATTEMPTS = 20;

const originOf = (app: ChangeApp, log: string): string => `${app.signer.name}/${log}`;

/** A signed checkpoint over a log with further events. */
export const checkpointOf = (app: ChangeApp, log: string, size: number, root: Uint8Array): string =>
  signCheckpoint({ origin: originOf(app, log), size, root }, app.signer);

/** How much there is to write of an event, in ratings or what weighs as much. */
const ratingsIn = (event: AnyEvent): number => {
  if (event.type === 'sheet-recorded') return event.data.ratings.length;
  return event.type === 'evaluation-locked' ? event.data.result.tasks.length : 0;
};

/** AU-2: stamps events in order: number, server time (never before the last event's), provenance. */
const stamp = async (
  { id: log, size: from, lastAt }: AnyLive,
  events: readonly AnyEvent[],
  provenance: Omit<Provenance, 'at'>,
  at: string,
): Promise<{ texts: string[]; from: number }> => {
  const time = at > lastAt ? at : lastAt;
  const texts: string[] = [];
  await turnFor(events, ratingsIn);
  await eachInTurns(events, ratingsIn, (event) => {
    const seq = from + texts.length;
    texts.push(eventText({ v: 1, log, seq, at: time, ...provenance, ...event }));
  });
  return { texts, from };
};

/** The rows of a change; empty changes leave a log alone. */
const batchOf = async <T>(
  app: ChangeApp,
  change: Change<T>,
  provenance: Omit<Provenance, 'at'>,
): Promise<{ batch: Batch; staged: { live: AnyLive; texts: string[]; from: number }[] }> => {
  const at = nowText(app);
  const staged: { live: AnyLive; texts: string[]; from: number }[] = [];
  const checkpoints: { log: string; size: number; note: string }[] = [];
  for (const { log, events } of change.events) {
    if (events.length === 0) continue;
    const live = await app.logs.any(log);
    const { texts, from } = await stamp(live, events, provenance, at);
    staged.push({ live, texts, from });
    if (events.some((e) => MILESTONES.has(e.type))) {
      const edge = await live.frontierWith(texts);
      const note = checkpointOf(app, log, edge.size, edge.root());
      checkpoints.push({ log, size: edge.size, note });
    }
  }
  const appends = staged.map(({ live, texts, from }) => ({ log: live.id, from, texts }));
  return { batch: { ...change.batch, appends, checkpoints }, staged };
};

/** Commits; words for the people when the disk does not take it. */
const keep = async (app: ChangeApp, batch: Batch): Promise<Committed | string> => {
  try {
    return await app.store.commit(batch);
  } catch (error) {
    if (error instanceof NotKept) return error.message;
    throw error;
  }
};

/**
 * AU-3: one step of the whole system: decide on the state as it stands, make events, rows, checkpoint and the
 * answer durable in one commit, then let the live state follow and everybody know. When another process took
 * the next number first, the state is read again and the step decided anew.
 */
export const makeChange = async <T>(
  app: ChangeApp,
  logs: readonly string[],
  provenance: Omit<Provenance, 'at'>,
  decideChange: () => Promise<Outcome<Change<T>>>,
): Promise<Outcome<T>> => {
  const readOnly = whyReadOnly(app);
  if (readOnly !== null) return refused('read-only', readOnly);
  return app.logs.exclusive(logs, async () => {
    for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
      const decided = await decideChange();
      if (!decided.ok) return decided;
      const { batch, staged } = await batchOf(app, decided.value, provenance);
      const committed = await keep(app, batch);
      if (typeof committed === 'string') {
        return refused(whyReadOnly(app) === null ? 'try-again' : 'read-only', committed);
      }
      if (committed.ok) {
        for (const { live, texts, from } of staged) await live.takeInTurns(texts, from);
        for (const { log, size, note } of batch.checkpoints ?? []) {
          staged.find(({ live }) => live.id === log)?.live.cover(size, note);
        }
        for (const { live } of staged) {
          app.catalogue.changed(live.id);
          app.links.changed(live.id);
          app.changed(live.id);
        }
        return { ok: true, value: decided.value.value };
      }
      if (committed.conflict === 'invitation') {
        return refused('code-unknown', 'This invitation was used already.');
      }
      for (const log of logs) await app.logs.refresh(await app.logs.any(log));
    }
    return refused('try-again', 'Many changes came at once. Try again.');
  });
};

/** Signs what no checkpoint covers yet, log by log; run at least every minute. */
export const coverLogs = async (app: ChangeApp): Promise<number> => {
  let signed = 0;
  for (const live of await app.logs.live()) {
    if (whyReadOnly(app) !== null || live.covered >= live.size) continue;
    const { id: log, size, root } = live;
    const note = checkpointOf(app, log, size, root);
    const committed = await app.store.commit({ checkpoints: [{ log, size, note }] });
    if (committed.ok) {
      live.cover(size, note);
      app.changed(log);
      signed++;
    }
  }
  return signed;
};
