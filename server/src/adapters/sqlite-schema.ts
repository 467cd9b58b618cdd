/** One step each; a store remembers how many it has taken. Steps are only ever added at the end. */
export const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE event (
    workspace TEXT NOT NULL, log TEXT NOT NULL, seq INTEGER NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (workspace, log, seq)
  ) WITHOUT ROWID;
  CREATE TRIGGER event_never_changes BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
  CREATE TRIGGER event_never_goes BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;

  CREATE TABLE checkpoint (
    workspace TEXT NOT NULL, log TEXT NOT NULL, size INTEGER NOT NULL, note TEXT NOT NULL,
    PRIMARY KEY (workspace, log, size)
  ) WITHOUT ROWID;
  CREATE TRIGGER checkpoint_never_changes BEFORE UPDATE ON checkpoint
    BEGIN SELECT RAISE(ABORT, 'checkpoints are never changed'); END;
  CREATE TRIGGER checkpoint_never_goes BEFORE DELETE ON checkpoint
    BEGIN SELECT RAISE(ABORT, 'checkpoints are never deleted'); END;

  CREATE TABLE answer (
    workspace TEXT NOT NULL, actor TEXT NOT NULL, command TEXT NOT NULL, asked TEXT NOT NULL,
    answer TEXT NOT NULL, PRIMARY KEY (workspace, actor, command)
  ) WITHOUT ROWID;

  CREATE TABLE document (
    workspace TEXT NOT NULL, id TEXT NOT NULL, log TEXT NOT NULL, kind TEXT NOT NULL,
    frozen INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (workspace, id)
  ) WITHOUT ROWID;
  CREATE TABLE document_update (
    workspace TEXT NOT NULL, document TEXT NOT NULL, n INTEGER NOT NULL, seat TEXT NOT NULL,
    device TEXT NOT NULL, at TEXT NOT NULL, bytes BLOB NOT NULL,
    PRIMARY KEY (workspace, document, n),
    FOREIGN KEY (workspace, document) REFERENCES document (workspace, id)
  ) WITHOUT ROWID;
  CREATE TABLE document_client (
    workspace TEXT NOT NULL, document TEXT NOT NULL, client INTEGER NOT NULL, seat TEXT NOT NULL,
    PRIMARY KEY (workspace, document, client)
  ) WITHOUT ROWID;

  CREATE TABLE person (
    workspace TEXT NOT NULL, seat TEXT NOT NULL, panel TEXT NOT NULL, name TEXT NOT NULL,
    salt TEXT NOT NULL, lead INTEGER NOT NULL, PRIMARY KEY (workspace, seat)
  ) WITHOUT ROWID;
  CREATE TABLE session (
    workspace TEXT NOT NULL, id TEXT NOT NULL, seat TEXT, panel TEXT, device TEXT NOT NULL,
    started_at TEXT NOT NULL, seen_at TEXT NOT NULL, PRIMARY KEY (workspace, id)
  ) WITHOUT ROWID;
  CREATE TABLE invitation (
    workspace TEXT NOT NULL, id TEXT NOT NULL, kind TEXT NOT NULL, panel TEXT, seat TEXT,
    secret TEXT NOT NULL, code TEXT, expires_at TEXT NOT NULL, once INTEGER NOT NULL,
    PRIMARY KEY (workspace, id)
  ) WITHOUT ROWID;
  CREATE UNIQUE INDEX invitation_secret ON invitation (workspace, secret);
  CREATE UNIQUE INDEX invitation_code ON invitation (workspace, code) WHERE code IS NOT NULL;

  CREATE TABLE protocol (
    workspace TEXT NOT NULL, id TEXT NOT NULL, version TEXT NOT NULL, hash TEXT NOT NULL,
    text TEXT NOT NULL, PRIMARY KEY (workspace, id, version)
  ) WITHOUT ROWID;
  CREATE TRIGGER protocol_never_changes BEFORE UPDATE ON protocol
    BEGIN SELECT RAISE(ABORT, 'published protocol versions never change'); END;
  CREATE TRIGGER protocol_never_goes BEFORE DELETE ON protocol
    BEGIN SELECT RAISE(ABORT, 'published protocol versions are never deleted'); END;
  `,
  // A device that takes another's place.
  'ALTER TABLE invitation ADD COLUMN ends TEXT',
  // A projection of the events: it may be emptied at any time and fills itself again.
  `
  CREATE TABLE catalogue (
    workspace TEXT NOT NULL, log TEXT NOT NULL, size INTEGER NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (workspace, log)
  ) WITHOUT ROWID;
  `,
  // Who comes by a typed code waits to be let in. Sessions and codes of before were let in at once.
  `
  ALTER TABLE session ADD COLUMN arrival TEXT NOT NULL DEFAULT 'admitted';
  ALTER TABLE invitation ADD COLUMN open INTEGER NOT NULL DEFAULT 1;
  `,
  // Several organisations. The first has the id that every store began with.
  `
  CREATE TABLE workspace (id TEXT PRIMARY KEY, name TEXT NOT NULL UNIQUE COLLATE NOCASE,
    created_at TEXT NOT NULL) WITHOUT ROWID;
  INSERT INTO workspace VALUES ('ws_local', '', '');
  CREATE INDEX session_id ON session (id);
  CREATE INDEX invitation_by_secret ON invitation (secret);
  CREATE INDEX invitation_by_code ON invitation (code) WHERE code IS NOT NULL;
  `,
  // The lead's passphrase: salt and key, never itself.
  'CREATE TABLE passphrase (workspace TEXT PRIMARY KEY, kept TEXT NOT NULL) WITHOUT ROWID',
  // Practice of reviewers: theirs alone, in no log.
  `
  CREATE TABLE practice (
    workspace TEXT NOT NULL, seat TEXT NOT NULL, evaluation TEXT NOT NULL, text TEXT NOT NULL,
    PRIMARY KEY (workspace, seat, evaluation)
  ) WITHOUT ROWID;
  `,
];
