import * as decoding from 'lib0/decoding';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import {
  readFrame,
  SAVED,
  writeStep1,
  writeStep2,
  writeUpdate,
} from '../../server/src/wire/frames.ts';

/** What a person got of a document: w reads and writes, r reads, - neither. */
export type Access = 'w' | 'r' | '-';

/** Who asks: a session's cookie, or none. */
export interface Asker {
  url: string;
  cookie: string;
}

/** A ticket for a document's socket; undefined when none is given. */
export const askTicket = async (
  { url, cookie }: Asker,
  evaluation: string,
  document: string,
): Promise<string | undefined> => {
  const answer = await fetch(`${url}/api/tickets`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', cookie },
    body: JSON.stringify({ evaluation, document }),
  });
  return answer.ok ? ((await answer.json()) as { ticket: string }).ticket : undefined;
};

/** The saved count of a frame; undefined for any other frame. */
const savedOf = (bytes: Uint8Array): number | undefined => {
  const decoder = decoding.createDecoder(bytes);
  return decoding.readVarUint(decoder) === SAVED ? decoding.readVarUint(decoder) : undefined;
};

/**
 * Connects with a ticket as the stock client does, reads the document into `doc`, makes one edit and waits until it is
 * on disk or the server closes. Resolves with what was possible and the close code, 0 when the server did not close.
 */
export const probeDocument = (
  { url, cookie }: Asker,
  document: string,
  ticket: string,
  doc: Y.Doc,
  edit: (doc: Y.Doc) => void,
): Promise<{ access: Access; code: number }> =>
  new Promise((resolve) => {
    const address = `${url.replace(/^http/u, 'ws')}/sync/${document}?ticket=${ticket}`;
    const ws = new WebSocket(address, { headers: cookie === '' ? {} : { cookie } });
    let access: Access = '-';
    const read = (update: Uint8Array): void => {
      access = 'r';
      Y.applyUpdate(doc, update);
      const before = Y.encodeStateVector(doc);
      edit(doc);
      // The answer to the server's step 1 was the first write, this is the second.
      ws.send(writeUpdate(Y.encodeStateAsUpdate(doc, before)));
    };
    ws.on('open', () => ws.send(writeStep1(Y.encodeStateVector(doc))));
    ws.on('message', (data: Buffer) => {
      const bytes = new Uint8Array(data);
      const frame = readFrame(bytes);
      if (frame.kind === 'step-1')
        ws.send(writeStep2(Y.encodeStateAsUpdate(doc, frame.stateVector)));
      else if (frame.kind === 'step-2') read(frame.update);
      else if ((savedOf(bytes) ?? 0) >= 2) {
        access = 'w';
        ws.close();
      }
    });
    ws.on('error', () => undefined);
    ws.on('close', (code) => resolve({ access, code: access === 'w' ? 0 : code }));
  });
