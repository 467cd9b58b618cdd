import { readFileSync, statSync } from 'node:fs';
import { checkProtocol, PROTOCOL_LIMIT } from '../protocol/check-protocol.ts';
import { protocolText } from '../protocol/protocol-text.ts';
import { UsageError } from './read-flags.ts';

/** The file as text, or why it cannot be one. */
const read = (file: string): { text: string } | { why: string } => {
  try {
    if (statSync(file).size > PROTOCOL_LIMIT) return { why: 'is larger than 1 MB' };
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
    return { text: text.decode(readFileSync(file)) };
  } catch (error) {
    return error instanceof TypeError
      ? { why: 'is not UTF-8 text: save it as UTF-8' }
      : { why: 'cannot be read' };
  }
};

/** `protocol check FILE`: every fault with its place and remedy; 0 good, 1 faulty, 2 unreadable. */
export const protocolCommand = (argv: readonly string[]): Promise<number> => {
  const [verb, file, ...rest] = argv;
  if (verb !== 'check' || file === undefined || rest.length > 0) {
    throw new UsageError('protocol check takes one file.');
  }
  const source = read(file);
  if ('why' in source) {
    process.stderr.write(`${file} ${source.why}.\n`);
    return Promise.resolve(2);
  }
  const checked = checkProtocol(source.text);
  if (checked.ok) {
    const { id, version, title } = checked.protocol;
    const { hash } = protocolText(checked.protocol);
    process.stdout.write(`${title} (${id} ${version}) is good. SHA-256 ${hash}\n`);
    return Promise.resolve(0);
  }
  for (const { place, fault, remedy } of checked.faults) {
    process.stdout.write(`${place}: ${fault}. ${remedy}\n`);
  }
  process.stdout.write(`${String(checked.faults.length)} faults.\n`);
  return Promise.resolve(1);
};
