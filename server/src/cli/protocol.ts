import type { Effect, Protocol } from '@unhindered/shared-types';
import { checkProtocol, PROTOCOL_LIMIT } from '../protocol/check-protocol.ts';
import { diffProtocols } from '../protocol/diff-protocols.ts';
import { protocolSchema } from '../protocol/protocol-schema.ts';
import { protocolText } from '../protocol/protocol-text.ts';
import { UsageError } from './read-flags.ts';
import { readText } from './read-text.ts';
import { plural } from '../report/words.ts';

const EFFECTS: Record<Effect, string> = {
  none: 'results stay comparable',
  figures: 'ratings stay comparable, figures made from them do not',
  ratings: 'ratings do not stay comparable',
};

/** The good protocol of a file, or the exit code after its faults were printed. */
const load = (file: string): Protocol | number => {
  const source = readText(file, PROTOCOL_LIMIT);
  if ('why' in source) {
    process.stderr.write(`${file} ${source.why}.\n`);
    return 2;
  }
  const checked = checkProtocol(source.text);
  if (checked.ok) return checked.protocol;
  for (const { place, fault, remedy } of checked.faults) {
    process.stdout.write(`${place}: ${fault}. ${remedy}\n`);
  }
  process.stdout.write(`${plural(checked.faults.length, 'fault', 'faults')}.\n`);
  return 1;
};

const check = (file: string): number => {
  const loaded = load(file);
  if (typeof loaded === 'number') return loaded;
  const { id, version, title } = loaded;
  const { hash } = protocolText(loaded);
  process.stdout.write(`${title} (${id} ${version}) is good. SHA-256 ${hash}\n`);
  return 0;
};

/** Prints each change; 0 equal, 1 different, 2 when either file is unreadable or faulty. */
const diff = (olderFile: string, newerFile: string): number => {
  const older = load(olderFile);
  if (typeof older === 'number') return 2;
  const newer = load(newerFile);
  if (typeof newer === 'number') return 2;
  const changes = diffProtocols(older, newer);
  for (const { place, words, effect } of changes) {
    process.stdout.write(`${place}: ${words}; ${EFFECTS[effect]}.\n`);
  }
  const worst = (['ratings', 'figures', 'none'] as const).find((e) =>
    changes.some(({ effect }) => effect === e),
  );
  const end = worst === undefined ? 'the versions are equal' : `all in all, ${EFFECTS[worst]}`;
  process.stdout.write(`${plural(changes.length, 'change', 'changes')}: ${end}.\n`);
  return changes.length === 0 ? 0 : 1;
};

const schema = (): number => {
  process.stdout.write(`${JSON.stringify(protocolSchema(), null, 1)}\n`);
  return 0;
};

/**
 * `protocol check FILE`: every fault with its place and remedy; 0 good, 1 faulty, 2 unreadable.
 * `protocol diff A B`: every change from A to B in words; 0 equal, 1 different, 2 unreadable or faulty.
 * `protocol schema`: prints the JSON Schema of protocol files; always 0.
 */
export const protocolCommand = (argv: readonly string[]): Promise<number> => {
  const [verb, first, second, ...rest] = argv;
  if (verb === 'schema' && first === undefined) return Promise.resolve(schema());
  if (rest.length === 0 && first !== undefined) {
    if (verb === 'check' && second === undefined) return Promise.resolve(check(first));
    if (verb === 'diff' && second !== undefined) return Promise.resolve(diff(first, second));
  }
  throw new UsageError('protocol check takes one file, protocol diff two, protocol schema none.');
};
