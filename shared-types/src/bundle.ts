import * as v from 'valibot';
import { evaluationId, seatId } from './ids.ts';
import { result } from './figures.ts';

export const BUNDLE_FORMAT = 'unhindered-bundle/1';

/**
 * The self-contained export of a locked evaluation. The file's bytes are the RFC 8785 text of this object,
 * so there is one right file for one content. `names` is optional and erasable: the log proves a name by
 * its salted hash, and stays whole without it.
 */
export const bundle = v.strictObject({
  format: v.literal(BUNDLE_FORMAT),
  software: v.string(),
  log: evaluationId,
  origin: v.string(),
  /** Key of the last checkpoint. */
  vkey: v.string(),
  /** Where it took over from other keys: each one's signed word for the next, oldest first. */
  successions: v.optional(v.pipe(v.array(v.string()), v.minLength(1))),
  /** Exact canonical text of each event, in order. */
  events: v.array(v.string()),
  /** Signed notes, oldest first; the last one covers every event. */
  checkpoints: v.array(v.string()),
  /** Exact canonical text of the protocol. */
  protocol: v.string(),
  names: v.array(v.strictObject({ seat: seatId, name: v.string(), salt: v.string() })),
  result,
});
export type Bundle = v.InferOutput<typeof bundle>;
