import { readFileSync } from 'node:fs';
import { verifyBundle } from '../verify/verify-bundle.ts';

/** A bundle that holds, or the exit code of the command that was given it. */
export type HeldBundle = { bytes: Uint8Array } | { exit: 1 | 2 };

/**
 * Reads a bundle and checks it first: nothing is printed from a bundle that does not hold. Says on stderr what is
 * wrong, and when it holds that nobody's key was asked for.
 */
export const heldBundle = (file: string, key: string | undefined): HeldBundle => {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(file);
  } catch {
    process.stderr.write(`${file} cannot be read.\n`);
    return { exit: 2 };
  }
  const verification = verifyBundle(bytes, key === undefined ? {} : { key });
  const [finding] = verification.findings;
  if (finding) {
    const { step, where, what } = finding;
    process.stderr.write(`DOES NOT HOLD (${step}): ${where} ${what}. Nothing was written.\n`);
    return { exit: 1 };
  }
  if (!verification.anchored) {
    process.stderr.write(
      'Holds in itself, but is not anchored: name the key you trust with --key.\n',
    );
  }
  return { bytes };
};
