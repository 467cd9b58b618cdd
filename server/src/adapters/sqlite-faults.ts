import Database from 'better-sqlite3';

/** What the system says of a file, in the database's words. */
const SYSTEM_CODES: Record<string, string> = {
  EIO: 'SQLITE_IOERR',
  ENOSPC: 'SQLITE_FULL',
  EDQUOT: 'SQLITE_FULL',
  EROFS: 'SQLITE_READONLY',
  EACCES: 'SQLITE_CANTOPEN',
  EPERM: 'SQLITE_CANTOPEN',
};

const codeOf = (error: unknown): string => {
  if (error instanceof Database.SqliteError) return error.code;
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return SYSTEM_CODES[code] ?? '';
};

/**
 * ST-3: after an error of reading, writing or syncing, what the disk holds is not known any more: syncing again
 * could report success for data that is gone. Words for a running server; undefined when the disk is not at fault.
 */
export const diskFault = (error: unknown): string | undefined => {
  const code = codeOf(error);
  return /^SQLITE_(IOERR|CORRUPT|NOTADB|READONLY|CANTOPEN)/u.test(code)
    ? `The disk failed (${code}). Stop the server, check the disk, start it again.`
    : undefined;
};

/** ST-8: a full disk takes nothing and says so; what was kept stands, and it goes on when there is room again. */
export const diskFull = (error: unknown): string | undefined =>
  codeOf(error) === 'SQLITE_FULL'
    ? "The server's disk is full: this was not kept. It goes on by itself when there is room again."
    : undefined;

/** Why a store's file cannot be opened, and what helps; undefined when neither file nor disk is at fault. */
export const openFault = (file: string, error: unknown): string | undefined => {
  const code = codeOf(error);
  if (/^SQLITE_(CORRUPT|NOTADB)/u.test(code)) {
    return `${file} is damaged (${code}). Put a backup in its place.`;
  }
  // A file that could only be opened for reading does not take the lock.
  if (/^SQLITE_(READONLY|CANTOPEN|IOERR_LOCK)/u.test(code)) {
    const check =
      'Check that disk and folder are not read-only, that this user may write there, and that it is no network share.';
    return `${file} cannot be written (${code}). ${check}`;
  }
  if (code === 'SQLITE_FULL')
    return `No room on the disk of ${file}. Free some space, then start again.`;
  return code.startsWith('SQLITE_IOERR')
    ? `The disk failed while ${file} was opened (${code}). Check the disk, then start again.`
    : undefined;
};
