import {
  bundle as bundleSchema,
  envelope,
  evaluationEvent,
  protocol as protocolSchema,
  type Bundle,
  type EvaluationEvent,
  type Protocol,
  type Result,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { canonicalText, parseCanonical } from '../audit/canonical-json.ts';
import { anomalies } from './anomalies.ts';
import { Broken, type Finding } from './broken.ts';
import { hash } from './bytes.ts';
import { isComposed } from './composed.ts';
import { firstDifference } from './difference.ts';
import { recompute } from './figures/result.ts';
import { gateFaults } from './gates.ts';
import { checkNotes, checkSeen, keyChain } from './notes.ts';
import { emptyReplay, misplaced, takeEvent, type Replay } from './replay.ts';

export type { Finding };

export interface Verification {
  ok: boolean;
  /** The signatures are by a key the caller named. */
  anchored: boolean;
  findings: Finding[];
  /** Odd but allowed: a clock that was set, a server that was killed, a backup put back, another program. */
  remarks: Finding[];
  facts: {
    events: number;
    checkpoints: number;
    root: string;
    origin: string;
    result: Result;
    invented: boolean;
    /** What became of the record after its lock: the record that took its place, why it was withdrawn. */
    since: Replay['since'];
  } | null;
}

/** Largest bundle that is read, bytes. */
export const BUNDLE_LIMIT = 256 * 1024 * 1024;

const read = (bytes: Uint8Array): Bundle => {
  if (bytes.length > BUNDLE_LIMIT) throw new Broken('size', 'the file', 'is larger than 256 MiB');
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Broken('text', 'the file', 'is not UTF-8');
  }
  let value: unknown;
  try {
    value = parseCanonical(text);
  } catch (error) {
    const why = error instanceof Error ? error.message : 'cannot be read';
    throw new Broken('canonical', 'the file', why);
  }
  const parsed = v.safeParse(bundleSchema, value);
  if (parsed.success) return parsed.output;
  const [issue] = parsed.issues;
  const where = (issue.path ?? []).map((p) => String(p.key)).join('.');
  throw new Broken('shape', where || 'the file', issue.message);
};

interface ReadEvent {
  at: string;
  actor: string;
  role: string;
  event: EvaluationEvent;
}

const readEvent = (text: string, seq: number, log: string): ReadEvent => {
  const where = `event ${String(seq)}`;
  let value: unknown;
  try {
    value = parseCanonical(text);
  } catch (error) {
    throw new Broken('events', where, error instanceof Error ? error.message : 'cannot be read');
  }
  const outer = v.safeParse(envelope, value);
  if (!outer.success) throw new Broken('events', where, outer.issues[0].message);
  const { type, data, at, actor, role } = outer.output;
  if (outer.output.seq !== seq) throw new Broken('events', where, 'has another number');
  if (outer.output.log !== log) throw new Broken('events', where, 'is of another log');
  if (!isComposed(data)) throw new Broken('events', where, 'holds text that is not Unicode NFC');
  const inner = v.safeParse(evaluationEvent, { type, data });
  if (!inner.success) throw new Broken('events', where, inner.issues[0].message);
  if (canonicalText(inner.output.data) !== canonicalText(data)) {
    throw new Broken('events', where, 'holds text that is not as it was entered');
  }
  return { at, actor, role, event: inner.output };
};

/** AU-5: the digest that the owner of a sheet keeps is over exactly the ratings that were recorded. */
const checkDigest = (e: EvaluationEvent, log: string, where: string): void => {
  if (e.type !== 'sheet-recorded') return;
  const { nonce, ratings, round, seat, digest } = e.data;
  const expected = hash(canonicalText({ evaluation: log, nonce, ratings, round, seat }));
  if (expected.toString('hex') !== digest) {
    throw new Broken(
      'digests',
      where,
      `the digest of the sheet of ${seat} does not fit its ratings`,
    );
  }
};

const replayEvents = (b: Bundle): { replay: Replay; events: ReadEvent[]; remarks: Finding[] } => {
  const replay = emptyReplay();
  const remarks: Finding[] = [];
  const events = b.events.map((text, seq) => readEvent(text, seq, b.log));
  events.forEach(({ event, actor, role, at }, seq) => {
    const where = `event ${String(seq)}`;
    const before = events[seq - 1];
    if (before && at < before.at) {
      remarks.push({ step: 'times', where, what: 'is earlier than the event before it' });
    }
    for (const what of anomalies(event, replay)) remarks.push({ step: 'server', where, what });
    if (event.type === 'ratings-imported') {
      const what = 'brought the ratings in from paper; they were never sealed by this program';
      remarks.push({ step: 'paper', where, what });
    }
    const fault = misplaced(replay, event, actor, role) ?? takeEvent(replay, event, actor);
    if (fault !== undefined) throw new Broken('order', where, fault);
    checkDigest(event, b.log, where);
  });
  if (!events.some((e) => e.event.type === 'evaluation-locked')) {
    const covered = `${String(events.length)} events are signed, the end may be cut off`;
    throw new Broken('order', 'the events', `hold no lock: ${covered}`);
  }
  return { replay, events, remarks };
};

const readProtocol = (b: Bundle, events: readonly ReadEvent[]): Protocol => {
  const created = events[0]?.event;
  if (created?.type !== 'evaluation-created')
    throw new Broken('protocol', 'event 0', 'is not the first');
  if (hash(b.protocol).toString('hex') !== created.data.protocol.hash) {
    throw new Broken(
      'protocol',
      'protocol',
      'is not the one that the evaluation names by its hash',
    );
  }
  const parsed = v.safeParse(protocolSchema, parseCanonical(b.protocol));
  if (!parsed.success) throw new Broken('protocol', 'protocol', parsed.issues[0].message);
  const briefing = hash(parsed.output.cautions.session).toString('hex');
  for (const [seq, { event }] of events.entries()) {
    if (event.type !== 'briefing-acknowledged' || event.data.text === briefing) continue;
    throw new Broken('protocol', `event ${String(seq)}`, 'acknowledges another briefing');
  }
  return parsed.output;
};

const checkNames = (b: Bundle, replay: Replay): void => {
  let before = '';
  for (const { seat, name, salt } of b.names) {
    const known = replay.seats.get(seat);
    const fits = known && hash(salt, name.normalize('NFC')).toString('hex') === known.nameHash;
    if (!fits || seat <= before) {
      throw new Broken('names', `the name of ${seat}`, 'does not fit the log');
    }
    before = seat;
  }
};

const checkFigures = (
  b: Bundle,
  p: Protocol,
  replay: Replay,
  events: readonly ReadEvent[],
): Result => {
  const created = events[0]?.event;
  const locked = events.find((e) => e.event.type === 'evaluation-locked')?.event;
  if (created?.type !== 'evaluation-created' || locked?.type !== 'evaluation-locked') {
    throw new Broken('figures', 'the events', 'do not begin as they must');
  }
  const { divergence } = created.data;
  const inProtocol = p.divergence;
  const split = inProtocol.split === null ? null : String(inProtocol.split);
  if (
    divergence.lone !== String(inProtocol.lone) ||
    divergence.split !== split ||
    divergence.id !== inProtocol.id
  ) {
    throw new Broken('protocol', 'event 0', 'uses another divergence rule than the protocol');
  }
  if (locked.data.software !== b.software) {
    throw new Broken('shape', 'software', 'is not what the lock says');
  }
  const own = recompute(replay, p, divergence);
  const inLog = firstDifference(own, locked.data.result);
  if (inLog !== undefined)
    throw new Broken('figures', `the locked result: ${inLog}`, 'is not what the events give');
  const outside = firstDifference(own, b.result);
  if (outside !== undefined)
    throw new Broken('figures', `result: ${outside}`, 'is not what the events give');
  return own;
};

/**
 * Checks a bundle from its bytes alone: canonical form, shape, every event and its place, signatures, protocol,
 * names, and every figure computed anew. Stops at the first thing that does not hold. With `key` the signatures
 * must be by that key or one in its chain; with `seen` the log must extend those checkpoints.
 */
export const verifyBundle = (
  bytes: Uint8Array,
  options: { key?: string; seen?: readonly string[] } = {},
): Verification => {
  const anchored = options.key !== undefined;
  try {
    const b = read(bytes);
    const keys = keyChain(b);
    if (options.key !== undefined && !keys.includes(options.key)) {
      throw new Broken('key', 'vkey', 'is not the key you trust, nor one it vouched for');
    }
    const last = checkNotes(b, keys);
    checkSeen(b, options.seen ?? [], keys);
    const { replay, events, remarks } = replayEvents(b);
    const p = readProtocol(b, events);
    checkNames(b, replay);
    const gate = gateFaults(events, p);
    if (gate) throw new Broken('gates', `event ${String(gate.seq)}`, gate.fault);
    const result = checkFigures(b, p, replay, events);
    const facts = {
      events: b.events.length,
      checkpoints: b.checkpoints.length,
      root: last.root.toString('hex'),
      origin: b.origin,
      result,
      invented: p.invented,
      since: replay.since,
    };
    return { ok: true, anchored, findings: [], remarks, facts };
  } catch (error) {
    if (!(error instanceof Broken)) throw error;
    return { ok: false, anchored, findings: [error.finding], remarks: [], facts: null };
  }
};
