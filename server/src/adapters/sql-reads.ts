import type {
  AccessStore,
  CatalogueLine,
  PracticeRow,
  Invitation,
  KeptAnswer,
  LogStore,
  Person,
  Session,
} from '../ports/store.ts';
import type { DocumentStore, StoredDocument, StoredUpdate } from '../ports/document-store.ts';
import type { SheetBox } from './sheet-box.ts';
import { invitationOf, personOf, sessionOf, type Row } from './store-rows.ts';

/** Runs one query, whose first `?` is the workspace, and gives its rows. */
export type Query = (sql: string, ...values: unknown[]) => Promise<Row[]>;

/** Columns by name: a server of the version before goes on when a newer one beside it has added one. */
const PERSON = 'seat, panel, name, salt, lead';
const SESSION = 'id, seat, panel, device, started_at, seen_at, arrival';
const INVITATION = 'id, kind, panel, seat, secret, code, expires_at, once, ends, open';

/** What both databases are asked in the same words. Every question begins with the workspace. */
export class SqlReads implements LogStore, AccessStore, DocumentStore {
  readonly #all: Query;
  readonly #box: SheetBox;
  readonly #readNamed: string;

  /** `readNamed` asks for updates that a JSON array of `{ document, n }` names, oldest first: each database its own way. */
  constructor(all: Query, box: SheetBox, readNamed: string) {
    this.#all = all;
    this.#box = box;
    this.#readNamed = readNamed;
  }

  async logs(): Promise<{ log: string; size: number }[]> {
    const rows = await this.#all(
      'SELECT log, count(*) AS size FROM event WHERE workspace = ? GROUP BY log ORDER BY log',
    );
    return rows.map((r) => ({ log: String(r['log']), size: Number(r['size']) }));
  }

  async events(log: string, from = 0): Promise<string[]> {
    const rows = await this.#all(
      'SELECT text FROM event WHERE workspace = ? AND log = ? AND seq >= ? ORDER BY seq',
      log,
      from,
    );
    return rows.map((r) => String(r['text']));
  }

  async rows(log: string): Promise<{ seq: number; text: string }[]> {
    const rows = await this.#all(
      'SELECT seq, text FROM event WHERE workspace = ? AND log = ? ORDER BY seq',
      log,
    );
    return rows.map((r) => ({ seq: Number(r['seq']), text: String(r['text']) }));
  }

  async checkpoints(log: string, after = -1): Promise<string[]> {
    const rows = await this.#all(
      'SELECT note FROM checkpoint WHERE workspace = ? AND log = ? AND size > ? ORDER BY size',
      log,
      after,
    );
    return rows.map((r) => String(r['note']));
  }

  async answer(actor: string, command: string): Promise<KeptAnswer | undefined> {
    const [row] = await this.#all(
      'SELECT asked, answer FROM answer WHERE workspace = ? AND actor = ? AND command = ?',
      actor,
      command,
    );
    return row && { actor, command, asked: String(row['asked']), answer: String(row['answer']) };
  }

  async load(document: string, after = 0): Promise<StoredDocument | undefined> {
    const [known] = await this.#all(
      'SELECT kind FROM document WHERE workspace = ? AND id = ?',
      document,
    );
    if (!known) return undefined;
    const sealed = known['kind'] === 'sheet';
    const updates = await this.#all(
      'SELECT n, bytes, at FROM document_update WHERE workspace = ? AND document = ? AND n > ? ORDER BY n',
      document,
      after,
    );
    const owners = await this.#all(
      'SELECT client, seat FROM document_client WHERE workspace = ? AND document = ?',
      document,
    );
    return {
      updates: updates.map((r) => this.#update(document, sealed, r)),
      owners: new Map(owners.map((r) => [Number(r['client']), String(r['seat'])])),
    };
  }

  async read(wanted: ReadonlyMap<string, readonly number[]>): Promise<Map<string, StoredUpdate[]>> {
    const found = new Map<string, StoredUpdate[]>();
    const named = [...wanted].flatMap(([document, numbers]) =>
      numbers.map((n) => ({ document, n })),
    );
    for (const r of await this.#all(this.#readNamed, JSON.stringify(named))) {
      const document = String(r['document']);
      const updates = found.get(document) ?? [];
      updates.push(this.#update(document, r['kind'] === 'sheet', r));
      found.set(document, updates);
    }
    return found;
  }

  #update(document: string, sealed: boolean, row: Row): StoredUpdate {
    const bytes = row['bytes'] as Uint8Array;
    return {
      n: Number(row['n']),
      bytes: sealed ? this.#box.open(document, bytes) : bytes,
      at: String(row['at']),
    };
  }

  async people(panel: string): Promise<Person[]> {
    const sql = `SELECT ${PERSON} FROM person WHERE workspace = ? AND panel = ? ORDER BY seat`;
    return (await this.#all(sql, panel)).map(personOf);
  }

  async session(id: string): Promise<Session | undefined> {
    const [row] = await this.#all(
      `SELECT ${SESSION} FROM session WHERE workspace = ? AND id = ?`,
      id,
    );
    return row && sessionOf(row);
  }

  async sessionsOf(seat: string): Promise<Session[]> {
    const sql = `SELECT ${SESSION} FROM session WHERE workspace = ? AND seat = ? ORDER BY id`;
    return (await this.#all(sql, seat)).map(sessionOf);
  }

  async leadSessions(): Promise<Session[]> {
    const sql = `SELECT ${SESSION} FROM session WHERE workspace = ? AND seat IS NULL ORDER BY id`;
    return (await this.#all(sql)).map(sessionOf);
  }

  async passphrase(): Promise<string | null> {
    const [row] = await this.#all('SELECT kept FROM passphrase WHERE workspace = ?');
    return row === undefined ? null : String(row['kept']);
  }

  async invitation(by: { secret: string } | { code: string }): Promise<Invitation | undefined> {
    const [column, value] = 'secret' in by ? ['secret', by.secret] : ['code', by.code];
    const sql = `SELECT ${INVITATION} FROM invitation WHERE workspace = ? AND ${column} = ?`;
    const [row] = await this.#all(sql, value);
    return row && invitationOf(row);
  }

  async protocols(): Promise<{ id: string; version: string; hash: string; text: string }[]> {
    const sql =
      'SELECT id, version, hash, text FROM protocol WHERE workspace = ? ORDER BY id, version';
    const rows = await this.#all(sql);
    return rows.map((r) => ({
      id: String(r['id']),
      version: String(r['version']),
      hash: String(r['hash']),
      text: String(r['text']),
    }));
  }

  async practices(seat: string): Promise<PracticeRow[]> {
    const sql =
      'SELECT seat, evaluation, text FROM practice WHERE workspace = ? AND seat = ? ORDER BY evaluation';
    const rows = await this.#all(sql, seat);
    return rows.map((r) => ({
      seat: String(r['seat']),
      evaluation: String(r['evaluation']),
      text: String(r['text']),
    }));
  }

  async catalogue(): Promise<CatalogueLine[]> {
    const sql = 'SELECT log, size, text FROM catalogue WHERE workspace = ? ORDER BY log';
    const rows = await this.#all(sql);
    return rows.map((r) => ({
      log: String(r['log']),
      size: Number(r['size']),
      text: String(r['text']),
    }));
  }
}
