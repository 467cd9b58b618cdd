import type { SheetField } from './sheet.ts';

/**
 * A sheet is a Yjs document with one root map named `SHEET_ROOT`, flat, of primitives:
 * `<task>/<field>` for ratings and `remark/<id>` for remarks held until the round opens.
 * Values are set to null, never deleted.
 */
export const SHEET_ROOT = 'r';

/** Where a sheet keeps one field of a task. */
export const sheetKey = (task: string, field: SheetField): string => `${task}/${field}`;

/** Remarks written on tasks of a sealed round wait in the author's own sheet. */
export const heldRemarkKey = (id: string): string => `remark/${id}`;
