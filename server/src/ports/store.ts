import type { ArrivalState } from '@unhindered/shared-types';
import type { DocumentStore, WriteOutcome } from './document-store.ts';

/** New events of one log. `from` is the sequence number of the first: it must be the log's size. */
export interface Append {
  log: string;
  from: number;
  texts: readonly string[];
}

export interface KeptAnswer {
  actor: string;
  command: string;
  /** SHA-256 of what was asked: the same id with other content is a fault. */
  asked: string;
  answer: string;
}

export interface Person {
  seat: string;
  panel: string;
  name: string;
  salt: string;
  /** The seat belongs to the workspace's lead. */
  lead: boolean;
}

export interface Session {
  /** SHA-256 of the token; the token itself is only in the cookie. */
  id: string;
  /** Null for the lead, who holds a seat in each panel they made. */
  seat: string | null;
  panel: string | null;
  device: string;
  startedAt: string;
  seenAt: string;
  /** Nothing but `admitted` opens anything. */
  arrival: ArrivalState;
}

export interface Invitation {
  id: string;
  kind: 'lead' | 'seat' | 'device';
  panel: string | null;
  seat: string | null;
  /** SHA-256 of the link's secret, and of the typed code. */
  secret: string;
  code: string | null;
  expiresAt: string;
  /** A code serves once; a link serves until it expires. */
  once: boolean;
  /** Sessions that end when it is used: one by its id, or every one of the seat (`all`). */
  ends: string | null;
  /** Its typed code lets in at once. */
  open: boolean;
}

export interface KeptWrite {
  document: string;
  seat: string;
  device: string;
  at: string;
  bytes: Uint8Array;
  newClients: readonly number[];
}

/**
 * What the catalogue says of one log, as it was made from its first `size` events. A copy for speed: losing it loses
 * nothing, for it is made again from the events.
 */
export interface CatalogueLine {
  log: string;
  size: number;
  /** JSON. */
  text: string;
}

/** A reviewer's practice on a locked evaluation: theirs alone, and part of no log. */
export interface PracticeRow {
  seat: string;
  evaluation: string;
  /** JSON. */
  text: string;
}

/** Documents that no other process writes to until the batch that brings this along is decided, or until it is released. */
export interface Held {
  /** Lets others write again. After the batch was decided it changes nothing. */
  release(): Promise<void>;
}

/** Everything one step changes; all of it becomes durable, or nothing. */
export interface Batch {
  appends?: readonly Append[];
  checkpoints?: readonly { log: string; size: number; note: string }[];
  answers?: readonly KeptAnswer[];
  documents?: readonly { id: string; log: string; kind: 'sheet' | 'board' }[];
  /**
   * Documents closed for writing for good. `updates` is how many updates the decision rests on: when another one
   * has been kept since, nothing of the batch is.
   */
  freeze?: readonly { document: string; updates: number | null }[];
  /** What `hold` gave for the documents that this batch freezes. */
  held?: Held | undefined;
  writes?: readonly KeptWrite[];
  people?: readonly Person[];
  /** What this batch replaces must not be found in the files any more. */
  scrub?: boolean;
  sessions?: readonly Session[];
  /** Sessions that were used; one that has ended meanwhile stays ended. */
  seen?: readonly { session: string; at: string }[];
  /** Sessions that were let in or turned away; one that has ended meanwhile stays ended. */
  arrivals?: readonly { session: string; arrival: ArrivalState }[];
  endSessions?: readonly string[];
  invitations?: readonly Invitation[];
  endInvitations?: readonly string[];
  protocols?: readonly { id: string; version: string; hash: string; text: string }[];
  /** What is kept of the lead's passphrase, in the place of the one before. */
  passphrase?: string;
  /** Lines of the catalogue, each in the place of the one before. */
  catalogue?: readonly CatalogueLine[];
  /** Practices, each in the place of the one before. */
  practices?: readonly PracticeRow[];
  /** Forgets sessions and invitations that are over. */
  forget?: { startedBefore: string; seenBefore: string; expiredBefore: string };
}

/** What became of each write of a batch, and the numbers that those which were kept stand under, in their order. */
export interface Outcomes {
  writes: WriteOutcome[];
  numbers: number[];
}

export type Committed =
  | ({ ok: true } & Outcomes)
  /** Somebody else was first: the number, the command or the code is used, or the document grew. */
  | { ok: false; conflict: 'log' | 'command' | 'invitation' | 'document' };

/** The events and their checkpoints. */
export interface LogStore {
  logs(): Promise<{ log: string; size: number }[]>;
  events(log: string, from?: number): Promise<string[]>;
  /** The events with the numbers they stand under, to check one against the other. */
  rows(log: string): Promise<{ seq: number; text: string }[]>;
  /** By size; with `after`, only those over more events. */
  checkpoints(log: string, after?: number): Promise<string[]>;
  answer(actor: string, command: string): Promise<KeptAnswer | undefined>;
}

/** People, sessions, invitations and protocols: what stands beside the logs. */
export interface AccessStore {
  people(panel: string): Promise<Person[]>;
  session(id: string): Promise<Session | undefined>;
  sessionsOf(seat: string): Promise<Session[]>;
  leadSessions(): Promise<Session[]>;
  /** What is kept of the lead's passphrase; null while none is set. */
  passphrase(): Promise<string | null>;
  invitation(by: { secret: string } | { code: string }): Promise<Invitation | undefined>;
  protocols(): Promise<{ id: string; version: string; hash: string; text: string }[]>;
  catalogue(): Promise<CatalogueLine[]>;
  /** Of one seat, in the order of their evaluations' ids. */
  practices(seat: string): Promise<PracticeRow[]>;
}

/** The one place where anything is kept. */
export interface Store extends LogStore, AccessStore, DocumentStore {
  /** Throws a NotKept when the disk does not take it. */
  commit(batch: Batch): Promise<Committed>;
  /**
   * Keeps other processes from writing to documents for a moment; their writes wait. Only stores that several processes
   * share have it. Throws a NotKept when the store does not answer.
   */
  hold?(documents: readonly string[]): Promise<Held>;
  /** Why nothing can be kept any more, or null. After a fault of the disk only a restart can tell what is there. */
  fault(): string | null;
  /** Why nothing is kept at the moment, or null: the fault, or a full disk that may have room again. */
  trouble(): string | null;
  close(): Promise<void>;
}
