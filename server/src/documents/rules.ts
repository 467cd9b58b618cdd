import {
  BOARD_ENTRIES,
  BOARD_ENTRY_MAX,
  BOARD_KEY,
  boardEntry,
  GENERAL_NOTE,
  HELD_REMARK_KEY,
  NOTE_MAX,
  noteRoot,
  protocolTasks,
  SHEET_FIELDS,
  SHEET_ROOT,
  heldRemark,
  type BoardEntry,
  type Protocol,
  type SheetField,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { contentRule, type ContentRule } from '../wire/content-rule.ts';
import type { FrameLimits } from './room-connection.ts';

export const SHEET_LIMITS: FrameLimits = { live: 16 * 1024, first: 256 * 1024 };
export const BOARD_LIMITS: FrameLimits = { live: 64 * 1024, first: 256 * 1024 };

const fieldNames = new Set(Object.keys(SHEET_FIELDS));

const jsonFault = (schema: v.GenericSchema, value: unknown, what: string): string | undefined => {
  if (typeof value !== 'string' || value.length > BOARD_ENTRY_MAX)
    return `${what} is a short JSON text`;
  try {
    return v.is(schema, JSON.parse(value)) ? undefined : `this is no ${what}`;
  } catch {
    return `${what} is a JSON text`;
  }
};

/** What a sheet may hold under a protocol: the fields of its tasks, and remarks held until the opening. */
export const sheetRule = (protocol: Protocol): ContentRule => {
  const tasks = new Set(protocolTasks(protocol).map((t) => t.id));
  const { min, max } = protocol.scale;
  const fault = (key: string, value: unknown): string | undefined => {
    if (HELD_REMARK_KEY.test(key)) {
      return value === null ? undefined : jsonFault(heldRemark, value, 'held remark');
    }
    const [task = '', field = '', ...rest] = key.split('/');
    if (rest.length > 0 || !tasks.has(task) || !fieldNames.has(field)) return 'unknown field';
    if (!v.is(SHEET_FIELDS[field as SheetField], value)) return `not a value of ${field}`;
    if (field === 'answer' && typeof value === 'number' && (value < min || value > max)) {
      return 'off the scale';
    }
    return undefined;
  };
  return contentRule([{ kind: 'map', name: SHEET_ROOT, fault, immutable: false }], 'own');
};

/** What a board's rule asks about the moment, for the state moves on under it. */
export interface BoardMoment {
  /** Whether a task (or, with null, no task in particular) may be talked about. */
  open: (task: string | null) => boolean;
  /** Why an entry of this author cannot be taken, or undefined. */
  fault: (author: string, entry: BoardEntry) => string | undefined;
}

/** What a board may hold: entries under the writer's own seat, and the shared notes. */
export const boardRule = (
  protocol: Protocol,
  { open, fault: entryFault }: BoardMoment,
): ContentRule => {
  const tasks = protocolTasks(protocol).map((t) => t.id);
  const fault = (key: string, value: unknown, author: string): string | undefined => {
    if (BOARD_KEY.exec(key)?.[1] !== author) return 'an entry stands under its author';
    const wrong = jsonFault(boardEntry, value, 'entry');
    if (wrong !== undefined) return wrong;
    const entry = v.parse(boardEntry, JSON.parse(String(value)));
    if (entry.task !== null && !tasks.includes(entry.task)) return 'no such task';
    return entryFault(author, entry);
  };
  return contentRule(
    [
      { kind: 'map', name: BOARD_ENTRIES, fault, immutable: true },
      { kind: 'text', name: noteRoot(GENERAL_NOTE), writable: () => open(null), limit: NOTE_MAX },
      ...tasks.map((task) => ({
        kind: 'text' as const,
        name: noteRoot(task),
        writable: () => open(task),
        limit: NOTE_MAX,
      })),
    ],
    'any',
  );
};
