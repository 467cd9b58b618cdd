/**
 * The board is one Yjs document per evaluation: the root map `BOARD_ENTRIES` holds immutable entries
 * under `<seat>/<id>` (JSON text of `boardEntry`), and each `noteRoot` is a free shared text.
 */
export const BOARD_ENTRIES = 'entries';
export const GENERAL_NOTE = 'general';
export const noteRoot = (task: string): string => `note:${task}`;

/** Longest shared note, in UTF-16 units. */
export const NOTE_MAX = 20_000;

/** Longest entry, JSON text in UTF-16 units. */
export const BOARD_ENTRY_MAX = 8000;
