/** Byte order, whatever the database's own collation: logs and seats are listed alike in every store. */
const KEY = 'TEXT COLLATE "C" NOT NULL';

const never = (table: string, what: string): string => `
  CREATE FUNCTION ${table}_never() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '${what} are never changed or deleted'; END $$;
  CREATE TRIGGER ${table}_stays BEFORE UPDATE OR DELETE ON ${table}
    FOR EACH ROW EXECUTE FUNCTION ${table}_never();
  CREATE TRIGGER ${table}_is_not_emptied BEFORE TRUNCATE ON ${table}
    FOR EACH STATEMENT EXECUTE FUNCTION ${table}_never();`;

/** One step each; the store remembers how many it has taken. Steps are only ever added at the end. */
export const POSTGRES_MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE event (
    workspace ${KEY}, log ${KEY}, seq INTEGER NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (workspace, log, seq)
  );
  ${never('event', 'events')}
  -- The next number of each log: taken by comparing and setting, under the row's lock.
  CREATE TABLE log_end (
    workspace ${KEY}, log ${KEY}, size INTEGER NOT NULL, PRIMARY KEY (workspace, log)
  );

  CREATE TABLE checkpoint (
    workspace ${KEY}, log ${KEY}, size INTEGER NOT NULL, note TEXT NOT NULL,
    PRIMARY KEY (workspace, log, size)
  );
  ${never('checkpoint', 'checkpoints')}

  CREATE TABLE answer (
    workspace ${KEY}, actor ${KEY}, command ${KEY}, asked TEXT NOT NULL,
    answer TEXT NOT NULL, PRIMARY KEY (workspace, actor, command)
  );

  CREATE TABLE document (
    workspace ${KEY}, id ${KEY}, log ${KEY}, kind TEXT NOT NULL,
    frozen INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (workspace, id)
  );
  CREATE TABLE document_update (
    workspace ${KEY}, document ${KEY}, n BIGINT GENERATED ALWAYS AS IDENTITY, seat TEXT NOT NULL,
    device TEXT NOT NULL, at TEXT NOT NULL, bytes BYTEA NOT NULL,
    PRIMARY KEY (workspace, document, n),
    FOREIGN KEY (workspace, document) REFERENCES document (workspace, id)
  );
  CREATE TABLE document_client (
    workspace ${KEY}, document ${KEY}, client BIGINT NOT NULL, seat TEXT NOT NULL,
    PRIMARY KEY (workspace, document, client)
  );

  CREATE TABLE person (
    workspace ${KEY}, seat ${KEY}, panel ${KEY}, name TEXT NOT NULL,
    salt TEXT NOT NULL, lead INTEGER NOT NULL, PRIMARY KEY (workspace, seat)
  );
  CREATE INDEX person_panel ON person (workspace, panel);
  CREATE TABLE session (
    workspace ${KEY}, id ${KEY}, seat TEXT COLLATE "C", panel TEXT COLLATE "C", device TEXT NOT NULL,
    started_at TEXT COLLATE "C" NOT NULL, seen_at TEXT COLLATE "C" NOT NULL,
    arrival TEXT NOT NULL, PRIMARY KEY (workspace, id)
  );
  CREATE INDEX session_id ON session (id);
  CREATE INDEX session_seat ON session (workspace, seat);
  CREATE TABLE invitation (
    workspace ${KEY}, id ${KEY}, kind TEXT NOT NULL, panel TEXT, seat TEXT,
    secret ${KEY}, code TEXT COLLATE "C", expires_at TEXT COLLATE "C" NOT NULL, once INTEGER NOT NULL,
    ends TEXT, open INTEGER NOT NULL, PRIMARY KEY (workspace, id)
  );
  CREATE UNIQUE INDEX invitation_secret ON invitation (workspace, secret);
  CREATE UNIQUE INDEX invitation_code ON invitation (workspace, code) WHERE code IS NOT NULL;
  CREATE INDEX invitation_by_secret ON invitation (secret);
  CREATE INDEX invitation_by_code ON invitation (code) WHERE code IS NOT NULL;

  CREATE TABLE protocol (
    workspace ${KEY}, id ${KEY}, version ${KEY}, hash TEXT NOT NULL,
    text TEXT NOT NULL, PRIMARY KEY (workspace, id, version)
  );
  ${never('protocol', 'published protocol versions')}

  -- A projection of the events: it may be emptied at any time and fills itself again.
  CREATE TABLE catalogue (
    workspace ${KEY}, log ${KEY}, size INTEGER NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (workspace, log)
  );

  -- Several organisations. The first has the id that every store begins with.
  CREATE TABLE workspace (id ${KEY}, name TEXT NOT NULL, created_at ${KEY}, PRIMARY KEY (id));
  CREATE UNIQUE INDEX workspace_name ON workspace (lower(name));
  INSERT INTO workspace VALUES ('ws_local', '', '');

  -- Lost when the database crashes, like the tickets of a process that ends: people get new ones.
  CREATE UNLOGGED TABLE ticket (
    workspace ${KEY}, key ${KEY}, session TEXT NOT NULL, document TEXT NOT NULL,
    evaluation TEXT NOT NULL, panel TEXT NOT NULL, until BIGINT NOT NULL,
    PRIMARY KEY (workspace, key)
  );
  -- Which keys this workspace's records are signed and sealed with: a hash, never a key.
  CREATE TABLE key_mark (workspace ${KEY}, mark TEXT NOT NULL, PRIMARY KEY (workspace));
  `,
  // The lead's passphrase: salt and key, never itself.
  `CREATE TABLE passphrase (workspace ${KEY}, kept TEXT NOT NULL, PRIMARY KEY (workspace))`,
  // Practice of reviewers: theirs alone, in no log.
  `CREATE TABLE practice (
    workspace ${KEY}, seat ${KEY}, evaluation ${KEY}, text TEXT NOT NULL,
    PRIMARY KEY (workspace, seat, evaluation)
  )`,
];
