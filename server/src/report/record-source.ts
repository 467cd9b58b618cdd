import {
  bundle as bundleSchema,
  envelope,
  evaluationEvent,
  protocol as protocolSchema,
  type Bundle,
  type Envelope,
  type EvaluationEvent,
  type Protocol,
  type Result,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { openCheckpoint } from '../audit/checkpoint.ts';
import { fold } from '../evaluation/fold.ts';
import { allStandings, type TaskStanding } from '../evaluation/standing.ts';
import type { EvaluationState } from '../evaluation/state.ts';
import { recordTrials, type RecordTrial } from './trials.ts';

type Created = NonNullable<EvaluationState['created']>;
type Locked = NonNullable<EvaluationState['locked']>;

/** An event of the log with its envelope. */
export type LoggedEvent = EvaluationEvent & Omit<Envelope, 'type' | 'data'>;

/** Everything a record is made of, read from one bundle. */
export interface RecordSource {
  bundle: Bundle;
  protocol: Protocol;
  events: LoggedEvent[];
  state: EvaluationState;
  created: Created;
  locked: Locked;
  standings: readonly TaskStanding[];
  result: Result;
  trials: RecordTrial[];
  head: { root: string; size: number };
  /** Whether names of people are printed. */
  names: boolean;
}

/** The statements in the composite, where the protocol gives them a weight and some of them count. */
export const weighedEndorsement = ({
  result,
}: RecordSource): Result['composite']['endorsement'] => {
  const { endorsement } = result.composite;
  return endorsement && Number(endorsement.weight) > 0 ? endorsement : undefined;
};

const readEvent = (text: string): LoggedEvent => {
  const { type, data, ...rest } = v.parse(envelope, JSON.parse(text));
  return { ...v.parse(evaluationEvent, { type, data }), ...rest };
};

const headOf = (b: Bundle): RecordSource['head'] => {
  const opened = openCheckpoint(b.checkpoints.at(-1) ?? '', b.vkey);
  if (!opened.ok) throw new Error(`the last checkpoint of the bundle: ${opened.why}`);
  return {
    root: Buffer.from(opened.checkpoint.root).toString('hex'),
    size: opened.checkpoint.size,
  };
};

/**
 * RE-1: a record is made from the bytes of a bundle and from nothing else, so that the server, the command line
 * and anybody in years to come get the same file. The bundle must have been verified before; throws on one that
 * cannot be read. RE-2: names of people are left out unless they are asked for.
 */
export const readSource = (bytes: Uint8Array, names = false): RecordSource => {
  const bundle = v.parse(bundleSchema, JSON.parse(new TextDecoder().decode(bytes)));
  const protocol = v.parse(protocolSchema, JSON.parse(bundle.protocol));
  const events = bundle.events.map(readEvent);
  const state = fold(events);
  const { created, locked } = state;
  if (!created || !locked) throw new Error('the bundle is not of a locked evaluation');
  return {
    bundle,
    protocol,
    events,
    state,
    created,
    locked,
    standings: allStandings(state, protocol),
    result: locked.result,
    trials: recordTrials(state, events),
    head: headOf(bundle),
    names,
  };
};
