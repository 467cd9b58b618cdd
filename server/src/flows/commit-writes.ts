import { boardEntry, type EvaluationEvent } from '@unhindered/shared-types';
import * as v from 'valibot';
import { boardEntryFault } from '../evaluation/bench.ts';
import type { DocumentWrite, WriteOutcome, Written } from '../ports/document-store.ts';
import type { KeptWrite, Outcomes } from '../ports/store.ts';
import { eventText } from '../audit/event-text.ts';
import { nowText, protocolOf, whyReadOnly, type App, type LiveEvaluation } from './app.ts';

/** How often a batch is built anew when events took the numbers it counted on. */
const ATTEMPTS = 20;

/** Which evaluation each open document belongs to. */
export type DocumentHomes = ReadonlyMap<string, LiveEvaluation>;

interface Staged {
  live: LiveEvaluation;
  texts: string[];
}

const entryEvents = (
  app: App,
  write: DocumentWrite,
  live: LiveEvaluation,
): EvaluationEvent[] | undefined => {
  const events: EvaluationEvent[] = [];
  const { protocol } = protocolOf(app, live.state);
  for (const { key, value } of write.entries) {
    const entry = v.parse(boardEntry, JSON.parse(value));
    if (boardEntryFault(live.state, protocol, write.seat, entry) !== undefined) return undefined;
    events.push({ type: 'entry-posted', data: { seat: write.seat, key, entry } });
  }
  return events;
};

/** Adds the events a board write makes. BO-2: false when the stage does not take them any more. */
const stage = (
  app: App,
  staged: Map<string, Staged>,
  write: DocumentWrite,
  live: LiveEvaluation,
): boolean => {
  if (live.state.stage === 'locked' || live.state.stage === 'withdrawn') return false;
  const events = entryEvents(app, write, live);
  if (!events) return false;
  const own = staged.get(live.id) ?? { live, texts: [] };
  const now = nowText(app);
  for (const event of events) {
    own.texts.push(
      eventText({
        v: 1,
        log: live.id,
        seq: live.size + own.texts.length,
        at: now > live.lastAt ? now : live.lastAt,
        clientAt: event.type === 'entry-posted' ? event.data.entry.at : null,
        actor: write.seat,
        role: live.state.seats.get(write.seat)?.role ?? 'nobody',
        device: write.device,
        cmd: null,
        ...event,
      }),
    );
  }
  staged.set(live.id, own);
  return true;
};

/** What was kept of each document, for other processes. */
const writtenOf = (kept: readonly KeptWrite[], { writes, numbers }: Outcomes): Written[] => {
  const written = new Map<string, number[] | null>();
  kept
    .filter((_, i) => writes[i] === 'kept')
    .forEach(({ document, newClients }, i) => {
      const known = written.get(document);
      const n = numbers[i];
      if (newClients.length > 0 || known === null || n === undefined) written.set(document, null);
      else if (known) known.push(n);
      else written.set(document, [n]);
    });
  return [...written].map(([document, of]) => ({ document, numbers: of }));
};

/**
 * BO-1: makes document writes durable. An entry on a board becomes an event in the same commit: what people see on the
 * board and what the log says can never differ.
 */
export const commitWrites = async (
  app: App,
  homes: DocumentHomes,
  batch: readonly DocumentWrite[],
): Promise<WriteOutcome[]> => {
  const readOnly = whyReadOnly(app);
  if (readOnly !== null) throw new Error(readOnly);
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const staged = new Map<string, Staged>();
    const kept: KeptWrite[] = [];
    const accepted = batch.map((write) => {
      const live = homes.get(write.document);
      if (write.entries.length > 0 && (!live || !stage(app, staged, write, live))) return false;
      const { document, seat, device, bytes, newClients } = write;
      kept.push({ document, seat, device, bytes, newClients, at: nowText(app) });
      return true;
    });
    const appends = [...staged.values()].map(({ live, texts }) => ({
      log: live.id,
      from: live.size,
      texts,
    }));
    const committed = await app.store.commit({ writes: kept, appends });
    if (committed.ok) {
      for (const { log, from, texts } of appends) {
        staged.get(log)?.live.take(texts, from);
        app.changed(log);
      }
      if (kept.length > 0) app.wrote(writtenOf(kept, committed));
      let next = 0;
      return accepted.map((yes) => (yes ? (committed.writes[next++] ?? 'frozen') : 'frozen'));
    }
    for (const { live } of staged.values()) await app.logs.refresh(live);
  }
  throw new Error('the log moved on too often while a write was kept');
};
