import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';
import type { HostileCase } from './case.ts';

export const freshId = (prefix: string): string =>
  `${prefix}_${randomBytes(16).toString('base64url')}`;

/** A frame of the y-websocket protocol: sync, of a step. */
export const syncFrame = (step: number, bytes: Uint8Array): Uint8Array => {
  const encoder = encoding.createEncoder();
  encoding.writeVarUint(encoder, 0);
  encoding.writeVarUint(encoder, step);
  encoding.writeVarUint8Array(encoder, bytes);
  return encoding.toUint8Array(encoder);
};

const HEAD = '{"format":"{{v.protocolFormat}}","title":';
const SECTIONS = '"scale":{"min":1,"max":5},"sections":[{"slug":"s1","title":"S","items":[';
const ONE_ITEM = '{"slug":"t1","title":"T","weight":1}';

/** Payloads too large to be kept as files, built as the corpus describes them. */
const generated = (g: Record<string, string | number>): string | Uint8Array => {
  const n = (key: string): number => Number(g[key]);
  const s = (key: string): string => String(g[key]);
  switch (s('kind')) {
    case 'deep':
      return s('open').repeat(n('depth')) + s('close').repeat(n('depth'));
    case 'repeat':
      return s('prefix') + s('char').repeat(n('count')) + s('suffix');
    case 'rating-with-note':
      return (
        '{"{{k.session}}":"{{v.session}}","{{k.task}}":"{{v.task}}","{{k.cmd}}":"{{v.freshCmd}}",' +
        `"{{k.version}}":{{v.version}},"{{k.score}}":3,"{{k.note}}":"${s('char').repeat(n('count'))}"}`
      );
    case 'yjs-text-update': {
      const doc = new Y.Doc();
      doc.getText('draft').insert(0, 'x'.repeat(n('bytes')));
      return syncFrame(2, Y.encodeStateAsUpdate(doc));
    }
    case 'yjs-statevector': {
      const vector = encoding.createEncoder();
      encoding.writeVarUint(vector, n('clients'));
      for (let client = 0; client < n('clients'); client++) {
        encoding.writeVarUint(vector, client);
        encoding.writeVarUint(vector, 1);
      }
      return syncFrame(0, encoding.toUint8Array(vector));
    }
    case 'protocol-items': {
      const item = (i: number): string =>
        `{"slug":"t${String(i)}","title":"T${String(i)}","weight":1}`;
      const items = Array.from({ length: n('count') }, (_, i) => item(i));
      return `${HEAD}"P",${SECTIONS}${items.join(',')}]}]}`;
    }
    case 'protocol-title':
      return `${HEAD}"${s('char').repeat(n('count'))}",${SECTIONS}${ONE_ITEM}]}]}`;
    case 'csv-wide': {
      const columns = Array.from({ length: n('columns') }, (_, i) => `c${String(i)}`);
      const row = (r: number): string => [String(r / 100), ...columns.map(() => '1')].join(',');
      return `${['time_s', ...columns].join(',')}\n${[0, 1, 2].map(row).join('\n')}\n`;
    }
    case 'csv-rows': {
      const rows = Array.from(
        { length: n('rows') },
        (_, i) => `${(i / 100).toFixed(2)},${String(i % 97)}`,
      );
      return `time_s,a\n${rows.join('\n')}\n`;
    }
    default:
      throw new Error(`unknown generator ${String(g['kind'])}`);
  }
};

/** The payload of a case: exact bytes, with the corpus' tokens still in them. */
export const payloadOf = (directory: string, hostile: HostileCase): Buffer => {
  if (hostile.generate) return Buffer.from(generated(hostile.generate));
  return readFileSync(join(directory, hostile.file ?? ''));
};

export type Tokens = Record<string, string>;

/** Replaces `{{k.x}}` and `{{v.x}}` in the bytes and leaves everything else as it is. */
export const withTokens = (bytes: Buffer, tokens: Tokens): Buffer => {
  // Latin-1 keeps every byte apart, whatever the payload is.
  const text = bytes.toString('latin1').replaceAll(/\{\{([kv]\.\w+)\}\}/gu, (_all, key: string) => {
    const value = tokens[key];
    if (value === undefined) throw new Error(`no token ${key}`);
    return Buffer.from(value).toString('latin1');
  });
  return Buffer.from(text, 'latin1');
};

/**
 * Members of a flat JSON object as raw texts, in order and with repeats: values such as 1e400 or -0 stay as they were
 * written. Undefined when the text is no object.
 */
export const rawMembers = (text: string): [key: string, raw: string][] | undefined => {
  try {
    JSON.parse(text);
  } catch {
    return undefined;
  }
  const members: [string, string][] = [];
  let depth = 0;
  let quoted = false;
  let from = text.indexOf('{') + 1;
  if (from === 0) return undefined;
  for (let i = from; i < text.length; i++) {
    const sign = text[i];
    if (quoted) {
      if (sign === '\\') i++;
      else if (sign === '"') quoted = false;
    } else if (sign === '"') quoted = true;
    else if (sign === '{' || sign === '[') depth++;
    else if (depth > 0 && (sign === '}' || sign === ']')) depth--;
    else if (depth === 0 && (sign === ',' || sign === '}')) {
      const [, key, raw] = /^\s*"([^"]*)"\s*:\s*([^]*?)\s*$/u.exec(text.slice(from, i)) ?? [];
      if (key === undefined || raw === undefined) return undefined;
      members.push([key, raw]);
      from = i + 1;
    }
  }
  return members;
};
