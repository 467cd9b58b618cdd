import * as v from 'valibot';
import {
  evaluationId,
  instant,
  panelId,
  registerLogId,
  systemLogId,
  workshopLogId,
} from './ids.ts';

/** The envelope around every event: who, where from, when by both clocks, and by which command. */
const envelopeEntries = {
  v: v.literal(1),
  log: v.union([evaluationId, panelId, systemLogId, registerLogId, workshopLogId]),
  seq: v.pipe(v.number(), v.integer(), v.minValue(0)),
  at: instant,
  clientAt: v.nullable(instant),
  actor: v.string(),
  role: v.string(),
  device: v.nullable(v.string()),
  cmd: v.nullable(v.string()),
  type: v.string(),
  data: v.unknown(),
} as const;
export const envelope = v.strictObject(envelopeEntries);
export type Envelope = v.InferOutput<typeof envelope>;

/** What every event of one command has in common, given by the flow that commits it. */
export type Provenance = Pick<Envelope, 'at' | 'clientAt' | 'actor' | 'role' | 'device' | 'cmd'>;
