import { protocol, type Protocol, type ProtocolFault } from '@unhindered/shared-types';
import * as v from 'valibot';
import { MAX_DEPTH, textDepth } from '../audit/canonical-json.ts';
import { criterionFaults } from './criterion-faults.ts';
import { crossFaults, type RawFault } from './cross-faults.ts';
import { jsonFault } from './json-fault.ts';
import { jsonPlaces, pointer } from './json-places.ts';
import { unknownKeys } from './unknown-keys.ts';

export type CheckedProtocol =
  { ok: true; protocol: Protocol } | { ok: false; faults: ProtocolFault[] };

/** Largest protocol file, bytes. */
export const PROTOCOL_LIMIT = 1_000_000;

const ofFile = (fault: string, remedy: string): ProtocolFault => ({
  place: 'the file',
  path: '',
  line: null,
  column: null,
  fault,
  remedy,
});

/** The value of a text, or the one fault that keeps it from being read at all. */
const readJson = (text: string): { value: unknown } | ProtocolFault => {
  if (Buffer.byteLength(text) > PROTOCOL_LIMIT) {
    return ofFile('is larger than 1 MB', 'Shorten its texts.');
  }
  if (textDepth(text) > MAX_DEPTH) {
    return ofFile(`nests deeper than ${String(MAX_DEPTH)}`, 'Flatten it.');
  }
  const broken = jsonFault(text);
  if (!broken) return { value: JSON.parse(text) as unknown };
  const { line, column, what } = broken;
  return {
    ...ofFile(`is not JSON: ${what}`, 'Mend the syntax at that place.'),
    place: `the file (line ${String(line)}, column ${String(column)})`,
    line,
    column,
  };
};

/** What is wrong with a value, and the way out: the words of a check of ours are the way out themselves. */
const said = (issue: v.BaseIssue<unknown>): Pick<RawFault, 'fault' | 'remedy'> => {
  if (issue.type === 'strict_object' && issue.received === 'undefined') {
    return { fault: 'is missing', remedy: 'Write it.' };
  }
  if (issue.type === 'check') return { fault: 'does not fit', remedy: issue.message };
  const { received } = issue;
  const shown = received.length > 60 ? `${received.slice(0, 60)} …` : received;
  return {
    fault: `${shown} does not fit`,
    remedy: `Expected ${issue.expected ?? 'another value'}.`,
  };
};

/** Faults of shape: every value that its field does not take, and every key that nobody knows. */
const shapeFaults = (value: unknown): { read: Protocol | undefined; faults: RawFault[] } => {
  const parsed = v.safeParse(protocol, value);
  const faults = unknownKeys(protocol, value).map((path) => ({
    path,
    fault: 'this key is not known here',
    remedy: 'Take it out, or correct its name.',
  }));
  for (const issue of parsed.issues ?? []) {
    if (issue.type === 'strict_object' && issue.expected === 'never') continue;
    const path = (issue.path ?? []).reduce((at, { key }) => pointer(at, String(key)), '');
    faults.push({ path, ...said(issue) });
  }
  return { read: parsed.success ? parsed.output : undefined, faults };
};

/**
 * PR-2: reads a protocol file and lists every fault with its place, those of shape and those that only the whole shows
 * in one run; never throws. PR-3: no section that counts is without a task that counts.
 */
export const checkProtocol = (text: string): CheckedProtocol => {
  const read = readJson(text);
  if ('fault' in read) return { ok: false, faults: [read] };
  const { places, repeated } = jsonPlaces(text);
  const shape = shapeFaults(read.value);
  const placed = ({ path, fault, remedy }: RawFault): ProtocolFault => {
    // What is missing has no place of its own: that of what it is missing in.
    const at = places.get(path) ?? places.get(path.slice(0, path.lastIndexOf('/')));
    const named = path === '' ? 'the file' : path;
    const { line = null, column = null } = at ?? {};
    const place = at ? `${named} (line ${String(line)}, column ${String(column)})` : named;
    return { place, path, line, column, fault, remedy };
  };
  const faults = [
    ...repeated.map((path) => ({
      path,
      fault: 'the key stands twice in one object',
      remedy: 'Keep one of them.',
    })),
    ...shape.faults,
    ...crossFaults(shape.read ?? read.value),
    ...(shape.read ? criterionFaults(shape.read) : []),
  ].map(placed);
  return shape.read && faults.length === 0
    ? { ok: true, protocol: shape.read }
    : { ok: false, faults };
};
