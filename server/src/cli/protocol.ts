import { readFileSync } from 'node:fs';
import { checkProtocol } from '../protocol/check-protocol.ts';
import { protocolText } from '../protocol/protocol-text.ts';
import { UsageError } from './config.ts';

const read = (file: string): string | undefined => {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
};

/** `protocol check FILE`: every fault with its place and remedy; 0 good, 1 faulty, 2 unreadable. */
export const protocolCommand = (argv: readonly string[]): Promise<number> => {
  const [verb, file, ...rest] = argv;
  if (verb !== 'check' || file === undefined || rest.length > 0) {
    throw new UsageError('protocol check takes one file.');
  }
  const text = read(file);
  if (text === undefined) {
    process.stderr.write(`${file} cannot be read.\n`);
    return Promise.resolve(2);
  }
  const checked = checkProtocol(text);
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
