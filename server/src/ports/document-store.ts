/** One update as it was kept; `n` rises with each update of a document, but not by one. */
export interface StoredUpdate {
  n: number;
  bytes: Uint8Array;
  at: string;
}

/** A document as it was kept: its updates oldest first, and which seat each Yjs client id belongs to. */
export interface StoredDocument {
  updates: readonly StoredUpdate[];
  owners: ReadonlyMap<number, string>;
}

/** Reads documents. A document that was never made is undefined; an error is an error, never an empty one. */
export interface DocumentStore {
  /** With `after`, only updates that stand behind that number. */
  load(document: string, after?: number): Promise<StoredDocument | undefined>;
  /** Exactly these updates of several documents, by document, oldest first; those that are not there are left out. */
  read(wanted: ReadonlyMap<string, readonly number[]>): Promise<Map<string, StoredUpdate[]>>;
}

/** What was kept of a document: numbers of updates, or null where a client id is new and the document is to be looked at. */
export interface Written {
  document: string;
  numbers: readonly number[] | null;
}

/** One accepted update on its way to the disk. */
export interface DocumentWrite {
  document: string;
  seat: string;
  device: string;
  bytes: Uint8Array;
  newClients: readonly number[];
  /** Keys newly set in the board's entries: each becomes an event in the same commit. */
  entries: readonly { key: string; value: string }[];
}

/** `frozen`: the round was opened, or the evaluation locked, before this write could be kept. */
export type WriteOutcome = 'kept' | 'frozen';

/** Makes a batch durable and says for each write, in order, what became of it. Throws when nothing was kept. */
export type CommitWrites = (batch: readonly DocumentWrite[]) => Promise<WriteOutcome[]>;
