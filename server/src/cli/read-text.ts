import { isUtf8 } from 'node:buffer';
import { readFileSync, statSync } from 'node:fs';

const LINE_FEED = 0x0a;
/** What a decoder puts in the place of bytes that are no sign. */
const NO_SIGN = '\ufffd';

/** Where bytes stop being UTF-8: line and sign in it, both from 1. */
const firstFault = (bytes: Uint8Array): { line: number; sign: number } => {
  for (let line = 1, from = 0; ; line++) {
    const end = bytes.indexOf(LINE_FEED, from);
    const row = bytes.subarray(from, end < 0 ? bytes.length : end);
    if (!isUtf8(row) || end < 0) {
      return { line, sign: new TextDecoder().decode(row).indexOf(NO_SIGN) + 1 };
    }
    from = end + 1;
  }
};

/**
 * A file of at most `most` bytes as text, or why it cannot be one, to stand after its name: too large, not UTF-8 and where,
 * not there. A byte order mark stays.
 */
export const readText = (file: string, most: number): { text: string } | { why: string } => {
  try {
    if (statSync(file).size > most) return { why: `is larger than ${String(most / 1e6)} MB` };
    const bytes = readFileSync(file);
    if (isUtf8(bytes)) return { text: bytes.toString('utf8') };
    const { line, sign } = firstFault(bytes);
    return {
      why: `line ${String(line)}, sign ${String(sign)} is not UTF-8 text: save the file as UTF-8`,
    };
  } catch {
    return { why: 'cannot be read' };
  }
};
