import * as v from 'valibot';
import { instant } from './ids.ts';

const count = v.pipe(v.number(), v.safeInteger(), v.minValue(0));

/** The server began to serve. `unclean`: the one before it was not stopped but ended: killed, or its power went. */
export const serverStarted = v.strictObject({
  type: v.literal('server-started'),
  data: v.strictObject({
    software: v.string(),
    /** The program that served last; null at the first start. */
    before: v.nullable(v.string()),
    unclean: v.boolean(),
  }),
});

/**
 * The clock of the machine does not show what it should: it was set, or the machine slept. `ms` is by how much, and
 * negative when it went back. `running`: measured against a clock that only counts, while the server ran; otherwise
 * the clock at the start was before the last thing on record.
 */
export const clockJumped = v.strictObject({
  type: v.literal('clock-jumped'),
  data: v.strictObject({
    ms: v.pipe(v.number(), v.safeInteger()),
    expected: instant,
    shown: instant,
    running: v.boolean(),
  }),
});

/** A backup took the place of the store. `had` and `has` count the events of all logs before and after. */
export const storeRestored = v.strictObject({
  type: v.literal('store-restored'),
  data: v.strictObject({ had: v.nullable(count), has: count }),
});

/** Events of the log of the server itself. The first three stand in every evaluation that was under way too. */
export const systemEvent = v.variant('type', [
  serverStarted,
  clockJumped,
  storeRestored,
  v.strictObject({ type: v.literal('server-stopped'), data: v.strictObject({}) }),
  /** The signing key took over from the one before, which says so in the note. */
  v.strictObject({
    type: v.literal('key-rotated'),
    data: v.strictObject({ before: v.string(), now: v.string(), note: v.string() }),
  }),
  /** So many wrong codes were typed that one source, or everybody, is shut out for a while. */
  v.strictObject({
    type: v.literal('codes-closed'),
    data: v.strictObject({ sources: count, everybody: v.boolean() }),
  }),
]);
export type SystemEvent = v.InferOutput<typeof systemEvent>;
/** What concerns an evaluation that is under way. */
export type SystemNote = Extract<
  SystemEvent,
  { type: 'server-started' | 'clock-jumped' | 'store-restored' }
>;
