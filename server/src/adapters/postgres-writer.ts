import type { ClientBase, QueryResult, QueryResultRow } from 'pg';
import type { Batch, KeptWrite, Outcomes } from '../ports/store.ts';
import { prepared } from './postgres-prepared.ts';
import type { SheetBox } from './sheet-box.ts';
import { Conflict } from './store-conflict.ts';
import { outcomesOf } from './write-outcomes.ts';

/** What every part of the writer needs: one connection inside a transaction. */
interface Pen {
  ask: <R extends QueryResultRow>(sql: string, values: unknown[]) => Promise<QueryResult<R>>;
  w: string;
  box: SheetBox;
}

const changed = async ({ ask }: Pen, sql: string, values: unknown[]): Promise<number> =>
  (await ask(sql, values)).rowCount ?? 0;

/** Takes the next numbers of a log; somebody else who took them first makes it a conflict. */
const advance = async (pen: Pen, log: string, from: number, count: number): Promise<void> => {
  const taken =
    from === 0
      ? await changed(pen, 'INSERT INTO log_end VALUES ($1, $2, $3) ON CONFLICT DO NOTHING', [
          pen.w,
          log,
          count,
        ])
      : await changed(
          pen,
          'UPDATE log_end SET size = size + $3 WHERE workspace = $1 AND log = $2 AND size = $4',
          [pen.w, log, count, from],
        );
  if (taken !== 1) throw new Conflict('log');
};

const append = async (pen: Pen, batch: Batch): Promise<void> => {
  const { ask, w } = pen;
  // In one order, so that two processes never wait for each other.
  const appends = (batch.appends ?? []).toSorted((a, b) => (a.log < b.log ? -1 : 1));
  for (const { log, from, texts } of appends) {
    await advance(pen, log, from, texts.length);
    await ask(
      `INSERT INTO event SELECT $1, $2, $3::int + i - 1, text
         FROM unnest($4::text[]) WITH ORDINALITY AS t (text, i)`,
      [w, log, from, texts],
    );
  }
  for (const c of batch.checkpoints ?? []) {
    const sql = 'INSERT INTO checkpoint VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING';
    await ask(sql, [w, c.log, c.size, c.note]);
  }
  for (const a of batch.answers ?? []) {
    const sql = 'INSERT INTO answer VALUES ($1, $2, $3, $4, $5) ON CONFLICT DO NOTHING';
    const values = [w, a.actor, a.command, a.asked, a.answer];
    if ((await changed(pen, sql, values)) === 0) throw new Conflict('command');
  }
};

/** SE-13: freezing waits for writes under way and bars later ones, in every process at the same instant. */
const freeze = async ({ ask, w }: Pen, batch: Batch): Promise<void> => {
  const freezes = (batch.freeze ?? []).toSorted((a, b) => (a.document < b.document ? -1 : 1));
  for (const { document, updates } of freezes) {
    await ask('UPDATE document SET frozen = 1 WHERE workspace = $1 AND id = $2', [w, document]);
    const { rows } = await ask<{ n: string }>(
      'SELECT count(*) AS n FROM document_update WHERE workspace = $1 AND document = $2',
      [w, document],
    );
    if (updates !== null && Number(rows[0]?.n) !== updates) throw new Conflict('document');
  }
};

const kindsOf = async (
  { ask, w }: Pen,
  documents: readonly string[],
): Promise<Map<string, string>> => {
  const { rows } = await ask<{ id: string; kind: string; frozen: number }>(
    `SELECT id, kind, frozen FROM document WHERE workspace = $1 AND id = ANY ($2)
       ORDER BY id FOR SHARE`,
    [w, documents],
  );
  return new Map(rows.filter((r) => r.frozen === 0).map((r) => [r.id, r.kind]));
};

const keepAll = async (pen: Pen, writes: readonly KeptWrite[]): Promise<Outcomes> => {
  if (writes.length === 0) return outcomesOf([]);
  const { ask, w, box } = pen;
  const open = await kindsOf(pen, [...new Set(writes.map((x) => x.document))]);
  const kept = writes.filter((x) => open.has(x.document));
  const bytes = kept.map((x) =>
    open.get(x.document) === 'sheet' ? box.seal(x.document, x.bytes) : x.bytes,
  );
  const { rows } = await ask<{ n: string }>(
    `INSERT INTO document_update (workspace, document, seat, device, at, bytes)
       SELECT $1, document, seat, device, at, bytes
       FROM unnest($2::text[], $3::text[], $4::text[], $5::text[], $6::bytea[])
         WITH ORDINALITY AS t (document, seat, device, at, bytes, i) ORDER BY i RETURNING n`,
    [
      w,
      kept.map((x) => x.document),
      kept.map((x) => x.seat),
      kept.map((x) => x.device),
      kept.map((x) => x.at),
      bytes.map((b) => Buffer.from(b)),
    ],
  );
  const clients = kept.flatMap((x) => x.newClients.map((client) => ({ ...x, client })));
  if (clients.length > 0) {
    await ask(
      `INSERT INTO document_client SELECT $1, document, client, seat
         FROM unnest($2::text[], $3::bigint[], $4::text[]) AS t (document, client, seat)
         ON CONFLICT DO NOTHING`,
      [w, clients.map((x) => x.document), clients.map((x) => x.client), clients.map((x) => x.seat)],
    );
  }
  // Numbers were given in the order of the writes, whatever order they came back in.
  const numbers = rows.map(({ n }) => Number(n)).toSorted((a, b) => a - b);
  let next = 0;
  return outcomesOf(writes.map((x) => (open.has(x.document) ? (numbers[next++] ?? null) : null)));
};

const sessions = async ({ ask, w }: Pen, batch: Batch): Promise<void> => {
  for (const s of batch.sessions ?? []) {
    await ask(
      `INSERT INTO session VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (workspace, id)
         DO UPDATE SET seat = $3, panel = $4, device = $5, started_at = $6, seen_at = $7, arrival = $8`,
      [w, s.id, s.seat, s.panel, s.device, s.startedAt, s.seenAt, s.arrival],
    );
  }
  for (const { session, at } of batch.seen ?? []) {
    const sql = 'UPDATE session SET seen_at = $3 WHERE workspace = $1 AND id = $2';
    await ask(sql, [w, session, at]);
  }
  for (const { session, arrival } of batch.arrivals ?? []) {
    const sql = 'UPDATE session SET arrival = $3 WHERE workspace = $1 AND id = $2';
    await ask(sql, [w, session, arrival]);
  }
  if (batch.endSessions?.length) {
    const sql = 'DELETE FROM session WHERE workspace = $1 AND id = ANY ($2)';
    await ask(sql, [w, batch.endSessions]);
  }
};

const invitations = async (pen: Pen, batch: Batch): Promise<void> => {
  const { ask, w } = pen;
  for (const i of batch.invitations ?? []) {
    const { id, kind, panel, seat, secret, code, expiresAt, ends } = i;
    const [once, open] = [i.once ? 1 : 0, i.open ? 1 : 0];
    const sql = 'INSERT INTO invitation VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)';
    await ask(sql, [w, id, kind, panel, seat, secret, code, expiresAt, once, ends, open]);
  }
  for (const id of batch.endInvitations ?? []) {
    const sql = 'DELETE FROM invitation WHERE workspace = $1 AND id = $2';
    if ((await changed(pen, sql, [w, id])) === 0) throw new Conflict('invitation');
  }
};

const beside = async ({ ask, w }: Pen, batch: Batch): Promise<void> => {
  for (const p of batch.people ?? []) {
    await ask(
      `INSERT INTO person VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT (workspace, seat)
         DO UPDATE SET panel = $3, name = $4, salt = $5, lead = $6`,
      [w, p.seat, p.panel, p.name, p.salt, p.lead ? 1 : 0],
    );
  }
  if (batch.passphrase !== undefined) {
    const sql =
      'INSERT INTO passphrase VALUES ($1, $2) ON CONFLICT (workspace) DO UPDATE SET kept = $2';
    await ask(sql, [w, batch.passphrase]);
  }
  for (const p of batch.protocols ?? []) {
    const sql = 'INSERT INTO protocol VALUES ($1, $2, $3, $4, $5) ON CONFLICT DO NOTHING';
    await ask(sql, [w, p.id, p.version, p.hash, p.text]);
  }
  for (const p of batch.practices ?? []) {
    const sql = `INSERT INTO practice VALUES ($1, $2, $3, $4)
      ON CONFLICT (workspace, seat, evaluation) DO UPDATE SET text = $4`;
    await ask(sql, [w, p.seat, p.evaluation, p.text]);
  }
  for (const c of batch.catalogue ?? []) {
    // Two processes may make the same line: the one that read more events stays.
    await ask(
      `INSERT INTO catalogue VALUES ($1, $2, $3, $4) ON CONFLICT (workspace, log)
         DO UPDATE SET size = $3, text = $4 WHERE catalogue.size <= $3`,
      [w, c.log, c.size, c.text],
    );
  }
  if (!batch.forget) return;
  const { startedBefore, seenBefore, expiredBefore } = batch.forget;
  const old = 'DELETE FROM session WHERE workspace = $1 AND (started_at < $2 OR seen_at < $3)';
  await ask(old, [w, startedBefore, seenBefore]);
  await ask('DELETE FROM invitation WHERE workspace = $1 AND expires_at < $2', [w, expiredBefore]);
};

/** Turns a batch into rows, over a connection that is inside a transaction. */
export const writeBatch = async (
  { db, w, box }: { db: ClientBase; w: string; box: SheetBox },
  batch: Batch,
): Promise<Outcomes> => {
  const pen: Pen = { ask: (sql, values) => db.query(prepared(sql, values)), w, box };
  await append(pen, batch);
  for (const d of batch.documents ?? []) {
    const sql = 'INSERT INTO document (workspace, id, log, kind) VALUES ($1, $2, $3, $4)';
    await pen.ask(sql, [pen.w, d.id, d.log, d.kind]);
  }
  // Freezing comes before writes: a batch that opens a round cannot slip a late edit in.
  await freeze(pen, batch);
  const outcomes = await keepAll(pen, batch.writes ?? []);
  await sessions(pen, batch);
  await invitations(pen, batch);
  await beside(pen, batch);
  return outcomes;
};
