import type { StoredDocument, StoredUpdate } from '../ports/document-store.ts';
import type {
  Batch,
  CatalogueLine,
  PracticeRow,
  Committed,
  Invitation,
  KeptAnswer,
  KeptWrite,
  Person,
  Session,
  Store,
  Outcomes,
} from '../ports/store.ts';
import { outcomesOf } from './write-outcomes.ts';

interface Kept {
  kind: string;
  frozen: boolean;
  updates: StoredUpdate[];
  owners: Map<number, string>;
}

/** A store that forgets when the process ends, for tests and for `rehearse`. The same rules as the real one. */
export class MemoryStore implements Store {
  readonly #events = new Map<string, string[]>();
  readonly #checkpoints = new Map<string, Map<number, string>>();
  readonly #answers = new Map<string, KeptAnswer>();
  readonly #documents = new Map<string, Kept>();
  readonly #people = new Map<string, Person>();
  readonly #sessions = new Map<string, Session>();
  readonly #invitations = new Map<string, Invitation>();
  readonly #practices = new Map<string, PracticeRow>();
  readonly #catalogue = new Map<string, CatalogueLine>();
  #passphrase: string | null = null;
  readonly #protocols = new Map<
    string,
    { id: string; version: string; hash: string; text: string }
  >();

  /** Nothing is changed before everything is known to fit. */
  async commit(batch: Batch): Promise<Committed> {
    for (const { log, from } of batch.appends ?? []) {
      if ((this.#events.get(log)?.length ?? 0) !== from) return { ok: false, conflict: 'log' };
    }
    for (const a of batch.answers ?? []) {
      if (this.#answers.has(`${a.actor} ${a.command}`)) return { ok: false, conflict: 'command' };
    }
    for (const id of batch.endInvitations ?? []) {
      if (!this.#invitations.has(id)) return { ok: false, conflict: 'invitation' };
    }
    for (const { document, updates } of batch.freeze ?? []) {
      const known = this.#documents.get(document);
      if (known && updates !== null && known.updates.length !== updates) {
        return { ok: false, conflict: 'document' };
      }
    }
    return Promise.resolve({ ok: true, ...this.#apply(batch) });
  }

  #apply(batch: Batch): Outcomes {
    for (const { log, texts } of batch.appends ?? []) {
      this.#events.set(log, [...(this.#events.get(log) ?? []), ...texts]);
    }
    for (const { log, size, note } of batch.checkpoints ?? []) {
      const notes = this.#checkpoints.get(log) ?? new Map<number, string>();
      if (!notes.has(size)) this.#checkpoints.set(log, notes.set(size, note));
    }
    for (const a of batch.answers ?? []) this.#answers.set(`${a.actor} ${a.command}`, a);
    for (const { id, kind } of batch.documents ?? []) {
      this.#documents.set(id, { kind, frozen: false, updates: [], owners: new Map() });
    }
    for (const { document } of batch.freeze ?? []) {
      const known = this.#documents.get(document);
      if (known) known.frozen = true;
    }
    const kept = (batch.writes ?? []).map((w) => this.#keep(w));
    this.#access(batch);
    for (const p of batch.practices ?? []) this.#practices.set(`${p.seat} ${p.evaluation}`, p);
    for (const line of batch.catalogue ?? []) this.#catalogue.set(line.log, line);
    for (const p of batch.protocols ?? []) {
      const key = `${p.id} ${p.version}`;
      if (!this.#protocols.has(key)) this.#protocols.set(key, p);
    }
    return outcomesOf(kept);
  }

  #access(batch: Batch): void {
    for (const p of batch.people ?? []) this.#people.set(p.seat, p);
    for (const s of batch.sessions ?? []) this.#sessions.set(s.id, s);
    for (const { session, at } of batch.seen ?? []) {
      const known = this.#sessions.get(session);
      if (known) this.#sessions.set(session, { ...known, seenAt: at });
    }
    for (const { session, arrival } of batch.arrivals ?? []) {
      const known = this.#sessions.get(session);
      if (known) this.#sessions.set(session, { ...known, arrival });
    }
    for (const id of batch.endSessions ?? []) this.#sessions.delete(id);
    this.#passphrase = batch.passphrase ?? this.#passphrase;
    for (const i of batch.invitations ?? []) this.#invitations.set(i.id, i);
    for (const id of batch.endInvitations ?? []) this.#invitations.delete(id);
    if (!batch.forget) return;
    const { startedBefore, seenBefore, expiredBefore } = batch.forget;
    for (const { id, startedAt, seenAt } of this.#sessions.values()) {
      if (startedAt < startedBefore || seenAt < seenBefore) this.#sessions.delete(id);
    }
    for (const { id, expiresAt } of this.#invitations.values()) {
      if (expiresAt < expiredBefore) this.#invitations.delete(id);
    }
  }

  #keep(write: KeptWrite): number | null {
    const document = this.#documents.get(write.document);
    if (!document || document.frozen) return null;
    const n = document.updates.length + 1;
    document.updates.push({ n, bytes: write.bytes, at: write.at });
    for (const client of write.newClients) {
      if (!document.owners.has(client)) document.owners.set(client, write.seat);
    }
    return n;
  }

  async logs(): Promise<{ log: string; size: number }[]> {
    const logs = [...this.#events].map(([log, texts]) => ({ log, size: texts.length }));
    return Promise.resolve(logs.toSorted((a, b) => a.log.localeCompare(b.log)));
  }

  async events(log: string, from = 0): Promise<string[]> {
    return Promise.resolve((this.#events.get(log) ?? []).slice(from));
  }

  async rows(log: string): Promise<{ seq: number; text: string }[]> {
    return (await this.events(log)).map((text, seq) => ({ seq, text }));
  }

  async checkpoints(log: string, after = -1): Promise<string[]> {
    const notes = [...(this.#checkpoints.get(log) ?? new Map<number, string>())];
    const wanted = notes.filter(([size]) => size > after);
    return Promise.resolve(wanted.toSorted(([a], [b]) => a - b).map(([, note]) => note));
  }

  async answer(actor: string, command: string): Promise<KeptAnswer | undefined> {
    return Promise.resolve(this.#answers.get(`${actor} ${command}`));
  }

  async load(document: string, after = 0): Promise<StoredDocument | undefined> {
    const kept = this.#documents.get(document);
    const updates = kept?.updates.filter(({ n }) => n > after) ?? [];
    return Promise.resolve(kept && { updates, owners: new Map(kept.owners) });
  }

  async read(wanted: ReadonlyMap<string, readonly number[]>): Promise<Map<string, StoredUpdate[]>> {
    const found = new Map<string, StoredUpdate[]>();
    for (const [document, numbers] of wanted) {
      const updates = this.#documents.get(document)?.updates.filter((u) => numbers.includes(u.n));
      if (updates && updates.length > 0) found.set(document, updates);
    }
    return Promise.resolve(found);
  }

  async people(panel: string): Promise<Person[]> {
    return Promise.resolve([...this.#people.values()].filter((p) => p.panel === panel));
  }

  async session(id: string): Promise<Session | undefined> {
    return Promise.resolve(this.#sessions.get(id));
  }

  async sessionsOf(seat: string): Promise<Session[]> {
    return Promise.resolve([...this.#sessions.values()].filter((s) => s.seat === seat));
  }

  async leadSessions(): Promise<Session[]> {
    return Promise.resolve([...this.#sessions.values()].filter((s) => s.seat === null));
  }

  async passphrase(): Promise<string | null> {
    return Promise.resolve(this.#passphrase);
  }

  async invitation(by: { secret: string } | { code: string }): Promise<Invitation | undefined> {
    const match = (i: Invitation): boolean =>
      'secret' in by ? i.secret === by.secret : i.code === by.code;
    return Promise.resolve([...this.#invitations.values()].find(match));
  }

  async protocols(): Promise<{ id: string; version: string; hash: string; text: string }[]> {
    return Promise.resolve([...this.#protocols.values()]);
  }

  async practices(seat: string): Promise<PracticeRow[]> {
    const own = [...this.#practices.values()].filter((p) => p.seat === seat);
    return Promise.resolve(own.toSorted((a, b) => (a.evaluation < b.evaluation ? -1 : 1)));
  }

  async catalogue(): Promise<CatalogueLine[]> {
    return Promise.resolve([...this.#catalogue.values()]);
  }

  fault(): null {
    return null;
  }

  trouble(): string | null {
    return this.fault();
  }

  async close(): Promise<void> {
    return Promise.resolve();
  }
}
