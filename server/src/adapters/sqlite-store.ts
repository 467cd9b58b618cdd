import type Database from 'better-sqlite3';
import type { StoredDocument, WriteOutcome } from '../ports/document-store.ts';
import type {
  Batch,
  CatalogueLine,
  Committed,
  Invitation,
  KeptAnswer,
  Person,
  Session,
  Store,
} from '../ports/store.ts';
import { NotKept } from '../ports/not-kept.ts';
import type { SheetBox } from './sheet-box.ts';
import { diskFault, diskFull } from './sqlite-faults.ts';
import { openDatabase } from './sqlite-open.ts';
import { refuseDamagedLog } from './wal-check.ts';
import { sqliteWriter, type Writer } from './sqlite-writer.ts';

type Row = Record<string, unknown>;

const personOf = (r: Row): Person => ({
  seat: String(r['seat']),
  panel: String(r['panel']),
  name: String(r['name']),
  salt: String(r['salt']),
  lead: r['lead'] === 1,
});

const sessionOf = (r: Row): Session => ({
  id: String(r['id']),
  seat: r['seat'] as string | null,
  panel: r['panel'] as string | null,
  device: String(r['device']),
  startedAt: String(r['started_at']),
  seenAt: String(r['seen_at']),
  arrival: r['arrival'] as Session['arrival'],
});

const invitationOf = (r: Row): Invitation => ({
  id: String(r['id']),
  kind: r['kind'] as Invitation['kind'],
  panel: r['panel'] as string | null,
  seat: r['seat'] as string | null,
  secret: String(r['secret']),
  code: r['code'] as string | null,
  expiresAt: String(r['expires_at']),
  once: r['once'] === 1,
  ends: r['ends'] as string | null,
  open: r['open'] === 1,
});

/** Raised inside a transaction to roll it back for an expected reason. */
class Conflict extends Error {
  readonly kind: Extract<Committed, { ok: false }>['conflict'];
  constructor(kind: Extract<Committed, { ok: false }>['conflict']) {
    super(kind);
    this.kind = kind;
  }
}

/** What is known of the disk under a file: it is the same for every workspace on it. */
interface Health {
  fault: string | null;
  full: string | null;
}

const known = new WeakMap<Database.Database, Health>();

const healthOf = (db: Database.Database): Health => {
  const health = known.get(db) ?? { fault: null, full: null };
  known.set(db, health);
  return health;
};

/**
 * The store in one SQLite file, for one workspace. Every key begins with the workspace's id. ST-6: what a commit
 * returned for is there after the process was killed.
 */
export class SqliteStore implements Store {
  readonly #db: Database.Database;
  readonly #workspace: string;
  readonly #box: SheetBox;
  readonly #write: Writer;
  readonly #statements = new Map<string, Database.Statement>();
  readonly #commit: (batch: Batch) => WriteOutcome[];
  /** The file was opened by this store and is closed with it. */
  readonly #own: boolean;
  readonly #health: Health;
  /** Told once when nothing can be kept any more, or for the time being. */
  told: (words: string, error: unknown) => void = () => undefined;

  /** On a file of its own, or on one that is open already and is shared with other workspaces. */
  constructor(file: string | Database.Database, workspace: string, box: SheetBox) {
    if (typeof file === 'string') refuseDamagedLog(file);
    this.#own = typeof file === 'string';
    this.#db = typeof file === 'string' ? openDatabase(file) : file;
    this.#health = healthOf(this.#db);
    this.#workspace = workspace;
    this.#box = box;
    this.#write = sqliteWriter(this.#db, workspace, box, (kind) => new Conflict(kind));
    this.#commit = this.#db.transaction((batch: Batch) => this.#write(batch));
  }

  #all(sql: string, ...values: unknown[]): Row[] {
    const statement = this.#statements.get(sql) ?? this.#db.prepare(sql);
    this.#statements.set(sql, statement);
    try {
      return statement.all(this.#workspace, ...values) as Row[];
    } catch (error) {
      this.#blame(error);
      throw error;
    }
  }

  /** Remembers what an error says about the disk; words when it is at fault. */
  #blame(error: unknown): string | undefined {
    const before = this.trouble();
    this.#health.fault ??= diskFault(error) ?? null;
    this.#health.full = diskFull(error) ?? null;
    const now = this.trouble();
    if (now !== null && now !== before) this.told(now, error);
    return now ?? undefined;
  }

  async commit(batch: Batch): Promise<Committed> {
    if (this.#health.fault !== null) throw new NotKept(this.#health.fault);
    try {
      const writes = this.#commit(batch);
      if (batch.scrub === true) this.#scrub();
      this.#health.full = null;
      return await Promise.resolve({ ok: true, writes });
    } catch (error) {
      if (error instanceof Conflict) return { ok: false, conflict: error.kind };
      const words = this.#blame(error);
      throw words === undefined ? error : new NotKept(words, { cause: error });
    }
  }

  /** ST-7: what was replaced is zeroed in the file (secure_delete) and goes from the write-ahead log too. */
  #scrub(): void {
    this.#db.pragma('wal_checkpoint(TRUNCATE)');
  }

  fault(): string | null {
    return this.#health.fault;
  }

  trouble(): string | null {
    return this.#health.fault ?? this.#health.full;
  }

  async logs(): Promise<{ log: string; size: number }[]> {
    const rows = this.#all(
      'SELECT log, count(*) AS size FROM event WHERE workspace = ? GROUP BY log ORDER BY log',
    );
    return Promise.resolve(rows.map((r) => ({ log: String(r['log']), size: Number(r['size']) })));
  }

  async events(log: string, from = 0): Promise<string[]> {
    const rows = this.#all(
      'SELECT text FROM event WHERE workspace = ? AND log = ? AND seq >= ? ORDER BY seq',
      log,
      from,
    );
    return Promise.resolve(rows.map((r) => String(r['text'])));
  }

  async rows(log: string): Promise<{ seq: number; text: string }[]> {
    const rows = this.#all(
      'SELECT seq, text FROM event WHERE workspace = ? AND log = ? ORDER BY seq',
      log,
    );
    return Promise.resolve(rows.map((r) => ({ seq: Number(r['seq']), text: String(r['text']) })));
  }

  async checkpoints(log: string): Promise<string[]> {
    const rows = this.#all(
      'SELECT note FROM checkpoint WHERE workspace = ? AND log = ? ORDER BY size',
      log,
    );
    return Promise.resolve(rows.map((r) => String(r['note'])));
  }

  async answer(actor: string, command: string): Promise<KeptAnswer | undefined> {
    const [row] = this.#all(
      'SELECT asked, answer FROM answer WHERE workspace = ? AND actor = ? AND command = ?',
      actor,
      command,
    );
    return Promise.resolve(
      row && { actor, command, asked: String(row['asked']), answer: String(row['answer']) },
    );
  }

  async load(document: string): Promise<StoredDocument | undefined> {
    const [known] = this.#all('SELECT kind FROM document WHERE workspace = ? AND id = ?', document);
    if (!known) return Promise.resolve(undefined);
    const sealed = known['kind'] === 'sheet';
    const updates = this.#all(
      'SELECT bytes, at FROM document_update WHERE workspace = ? AND document = ? ORDER BY n',
      document,
    ).map((r) => {
      const bytes = r['bytes'] as Uint8Array;
      return { bytes: sealed ? this.#box.open(document, bytes) : bytes, at: String(r['at']) };
    });
    const owners = this.#all(
      'SELECT client, seat FROM document_client WHERE workspace = ? AND document = ?',
      document,
    );
    return {
      updates,
      owners: new Map(owners.map((r) => [Number(r['client']), String(r['seat'])])),
    };
  }

  async people(panel: string): Promise<Person[]> {
    const sql = 'SELECT * FROM person WHERE workspace = ? AND panel = ?';
    return Promise.resolve(this.#all(sql, panel).map(personOf));
  }

  async session(id: string): Promise<Session | undefined> {
    const [row] = this.#all('SELECT * FROM session WHERE workspace = ? AND id = ?', id);
    return Promise.resolve(row && sessionOf(row));
  }

  async sessionsOf(seat: string): Promise<Session[]> {
    const sql = 'SELECT * FROM session WHERE workspace = ? AND seat = ?';
    return Promise.resolve(this.#all(sql, seat).map(sessionOf));
  }

  async invitation(by: { secret: string } | { code: string }): Promise<Invitation | undefined> {
    const [column, value] = 'secret' in by ? ['secret', by.secret] : ['code', by.code];
    const sql = `SELECT * FROM invitation WHERE workspace = ? AND ${column} = ?`;
    const [row] = this.#all(sql, value);
    return Promise.resolve(row && invitationOf(row));
  }

  async protocols(): Promise<{ id: string; version: string; hash: string; text: string }[]> {
    const sql =
      'SELECT id, version, hash, text FROM protocol WHERE workspace = ? ORDER BY id, version';
    return Promise.resolve(
      this.#all(sql) as { id: string; version: string; hash: string; text: string }[],
    );
  }

  async catalogue(): Promise<CatalogueLine[]> {
    const sql = 'SELECT log, size, text FROM catalogue WHERE workspace = ? ORDER BY log';
    return Promise.resolve(this.#all(sql) as unknown as CatalogueLine[]);
  }

  async close(): Promise<void> {
    if (this.#own) this.#db.close();
    return Promise.resolve();
  }
}
