import type Database from 'better-sqlite3';
import type { Batch, KeptWrite, Outcomes } from '../ports/store.ts';
import type { SheetBox } from './sheet-box.ts';
import { Conflict } from './store-conflict.ts';
import { outcomesOf } from './write-outcomes.ts';

export type Writer = (batch: Batch) => Outcomes;

const statements = (db: Database.Database) => ({
  size: db.prepare(
    'SELECT coalesce(max(seq) + 1, 0) AS n FROM event WHERE workspace = ? AND log = ?',
  ),
  event: db.prepare('INSERT INTO event VALUES (?, ?, ?, ?)'),
  checkpoint: db.prepare('INSERT OR IGNORE INTO checkpoint VALUES (?, ?, ?, ?)'),
  answer: db.prepare('INSERT OR IGNORE INTO answer VALUES (?, ?, ?, ?, ?)'),
  document: db.prepare('INSERT INTO document (workspace, id, log, kind) VALUES (?, ?, ?, ?)'),
  freeze: db.prepare('UPDATE document SET frozen = 1 WHERE workspace = ? AND id = ?'),
  known: db.prepare(
    `SELECT kind, frozen, (SELECT coalesce(max(n), 0) FROM document_update AS u
         WHERE u.workspace = document.workspace AND u.document = document.id) AS n
       FROM document WHERE workspace = ? AND id = ?`,
  ),
  count: db.prepare(
    'SELECT count(*) AS n FROM document_update WHERE workspace = ? AND document = ?',
  ),
  update: db.prepare('INSERT INTO document_update VALUES (?, ?, ?, ?, ?, ?, ?)'),
  client: db.prepare('INSERT OR IGNORE INTO document_client VALUES (?, ?, ?, ?)'),
  person: db.prepare('INSERT OR REPLACE INTO person VALUES (?, ?, ?, ?, ?, ?)'),
  session: db.prepare('INSERT OR REPLACE INTO session VALUES (?, ?, ?, ?, ?, ?, ?, ?)'),
  seen: db.prepare('UPDATE session SET seen_at = ? WHERE workspace = ? AND id = ?'),
  arrival: db.prepare('UPDATE session SET arrival = ? WHERE workspace = ? AND id = ?'),
  endSession: db.prepare('DELETE FROM session WHERE workspace = ? AND id = ?'),
  invitation: db.prepare('INSERT INTO invitation VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)'),
  endInvitation: db.prepare('DELETE FROM invitation WHERE workspace = ? AND id = ?'),
  oldSessions: db.prepare(
    'DELETE FROM session WHERE workspace = ? AND (started_at < ? OR seen_at < ?)',
  ),
  oldInvitations: db.prepare('DELETE FROM invitation WHERE workspace = ? AND expires_at < ?'),
  practice: db.prepare('INSERT OR REPLACE INTO practice VALUES (?, ?, ?, ?)'),
  catalogue: db.prepare('INSERT OR REPLACE INTO catalogue VALUES (?, ?, ?, ?)'),
  passphrase: db.prepare('INSERT OR REPLACE INTO passphrase VALUES (?, ?)'),
  protocol: db.prepare('INSERT OR IGNORE INTO protocol VALUES (?, ?, ?, ?, ?)'),
});

/** What every part of the writer needs. */
interface Pen {
  sql: ReturnType<typeof statements>;
  w: string;
  box: SheetBox;
}

const append = ({ sql, w }: Pen, batch: Batch): void => {
  for (const { log, from, texts } of batch.appends ?? []) {
    if ((sql.size.get(w, log) as { n: number }).n !== from) throw new Conflict('log');
    texts.forEach((text, i) => sql.event.run(w, log, from + i, text));
  }
  for (const c of batch.checkpoints ?? []) sql.checkpoint.run(w, c.log, c.size, c.note);
  for (const a of batch.answers ?? []) {
    const { changes } = sql.answer.run(w, a.actor, a.command, a.asked, a.answer);
    if (changes === 0) throw new Conflict('command');
  }
};

const freeze = ({ sql, w }: Pen, batch: Batch): void => {
  for (const { document, updates } of batch.freeze ?? []) {
    const { n } = sql.count.get(w, document) as { n: number };
    if (updates !== null && n !== updates) throw new Conflict('document');
    sql.freeze.run(w, document);
  }
};

/** Documents that a batch writes to, as they stand within it. */
type Known = Map<string, { kind: string; frozen: number; n: number } | undefined>;

const keep = ({ sql, w, box }: Pen, known: Known, write: KeptWrite): number | null => {
  const { document } = write;
  if (!known.has(document)) {
    known.set(document, sql.known.get(w, document) as ReturnType<Known['get']>);
  }
  const at = known.get(document);
  if (at?.frozen !== 0) return null;
  const bytes = at.kind === 'sheet' ? box.seal(document, write.bytes) : write.bytes;
  sql.update.run(w, document, ++at.n, write.seat, write.device, write.at, bytes);
  for (const client of write.newClients) sql.client.run(w, document, client, write.seat);
  return at.n;
};

const access = ({ sql, w }: Pen, batch: Batch): void => {
  for (const p of batch.people ?? []) {
    sql.person.run(w, p.seat, p.panel, p.name, p.salt, p.lead ? 1 : 0);
  }
  for (const s of batch.sessions ?? []) {
    sql.session.run(w, s.id, s.seat, s.panel, s.device, s.startedAt, s.seenAt, s.arrival);
  }
  for (const { session, at } of batch.seen ?? []) sql.seen.run(at, w, session);
  for (const { session, arrival } of batch.arrivals ?? []) sql.arrival.run(arrival, w, session);
  for (const id of batch.endSessions ?? []) sql.endSession.run(w, id);
  if (batch.passphrase !== undefined) sql.passphrase.run(w, batch.passphrase);
  for (const i of batch.invitations ?? []) {
    const { id, kind, panel, seat, secret, code, expiresAt, ends } = i;
    const [once, open] = [i.once ? 1 : 0, i.open ? 1 : 0];
    sql.invitation.run(w, id, kind, panel, seat, secret, code, expiresAt, once, ends, open);
  }
  for (const id of batch.endInvitations ?? []) {
    if (sql.endInvitation.run(w, id).changes === 0) throw new Conflict('invitation');
  }
  for (const p of batch.protocols ?? []) sql.protocol.run(w, p.id, p.version, p.hash, p.text);
  for (const p of batch.practices ?? []) sql.practice.run(w, p.seat, p.evaluation, p.text);
  for (const c of batch.catalogue ?? []) sql.catalogue.run(w, c.log, c.size, c.text);
  if (!batch.forget) return;
  sql.oldSessions.run(w, batch.forget.startedBefore, batch.forget.seenBefore);
  sql.oldInvitations.run(w, batch.forget.expiredBefore);
};

/** Turns a batch into rows; to be run inside one transaction. */
export const sqliteWriter = (db: Database.Database, w: string, box: SheetBox): Writer => {
  const pen: Pen = { sql: statements(db), w, box };
  return (batch) => {
    append(pen, batch);
    for (const d of batch.documents ?? []) pen.sql.document.run(w, d.id, d.log, d.kind);
    // Freezing comes before writes: a batch that opens a round cannot slip a late edit in.
    freeze(pen, batch);
    const known: Known = new Map();
    const kept = (batch.writes ?? []).map((write) => keep(pen, known, write));
    access(pen, batch);
    return outcomesOf(kept);
  };
};
