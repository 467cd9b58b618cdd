import { request } from 'node:http';
import { ticketFor } from './document-door.ts';
import type { Change, Family, Play } from './family.ts';
import { freshId } from './payload.ts';
import { adaWrites } from './sheets.ts';

interface Opening {
  path: string;
  token?: string | null;
  cookie?: string;
  origin: string;
}

interface Handshake {
  /** 101 when the upgrade was taken. */
  status: number;
  /** Close code of the first frame that closes, when there is one. */
  code: number | undefined;
  /** A data frame came before any close: something was told. */
  told: boolean;
}

/** Close code and kind of the frames a server sends right after an upgrade. */
const readFrames = (bytes: Buffer): Pick<Handshake, 'code' | 'told'> => {
  let told = false;
  for (let i = 0; i + 2 <= bytes.length;) {
    const opcode = (bytes[i] ?? 0) & 15;
    let length = (bytes[i + 1] ?? 0) & 127;
    let from = i + 2;
    if (length === 126) {
      length = bytes.readUInt16BE(from);
      from += 2;
    }
    if (opcode === 8) return { code: bytes.readUInt16BE(from), told };
    told = true;
    i = from + length;
  }
  return { code: undefined, told };
};

/** Asks for an upgrade and waits until the server closes or says something. */
const knock = (url: string, path: string, headers: Record<string, string>): Promise<Handshake> =>
  new Promise((resolve) => {
    const { port } = new URL(url);
    const ask = request({
      port,
      path,
      agent: false,
      headers: {
        connection: 'Upgrade',
        upgrade: 'websocket',
        'sec-websocket-version': '13',
        'sec-websocket-key': 'dGhlIHNhbXBsZSBub25jZQ==',
        ...headers,
      },
    });
    ask.on('response', (response) => {
      response.resume();
      resolve({ status: response.statusCode ?? 0, code: undefined, told: false });
    });
    ask.on('upgrade', (_response, socket, head) => {
      let bytes = head;
      const end = (): void => {
        socket.destroy();
        resolve({ status: 101, ...readFrames(bytes) });
      };
      const heard = (): void => {
        if (bytes.length >= 2) end();
      };
      socket.on('data', (chunk: Buffer) => {
        bytes = Buffer.concat([bytes, chunk]);
        heard();
      });
      socket.on('close', end);
      socket.on('error', end);
      heard();
    });
    ask.on('error', () => resolve({ status: 0, code: undefined, told: false }));
    ask.end();
  });

/** The address a stranger would make of a document name; characters no address can hold are written as browsers do. */
const addressOf = (play: Play, path: string, document: string): string => {
  const { world } = play;
  const filled = path
    .replaceAll('{{v.ownDoc}}', document)
    .replaceAll('{{v.session}}', world.sealed)
    .replaceAll('{{v.foreignSession}}', world.foreign.evaluation)
    .replaceAll('{{v.otherReviewer}}', world.people.ben.seat)
    .replaceAll('{{v.token}}', world.people.ada.client.cookie.split('=')[1] ?? '');
  return `/sync${filled.replaceAll('\u0000', '%00')}`;
};

const act = async (play: Play): Promise<void> => {
  const { world, judged, payload } = play;
  const opening = JSON.parse(payload.toString('utf8')) as Opening;
  const { client } = world.people.ada;
  const { document } = await adaWrites(world);
  const good = opening.token === 'valid-reviewer' || opening.cookie === 'valid';
  const made = opening.token === 'expired' ? freshId('xx') : (opening.token ?? '');
  const cookie = good || opening.token === undefined ? client.cookie : `unhindered=${made}`;
  const origin = opening.origin === 'own' ? world.url : opening.origin;
  const path = addressOf(play, opening.path, document);
  // Where only one thing is wrong, a good ticket stands beside it.
  const ticket = await ticketFor(client, world.sealed, document);
  const full = path.includes('?') ? path : `${path}?ticket=${ticket}`;
  const inUrl = opening.path.includes('token=');
  const seen = await knock(world.url, full, {
    origin,
    ...(opening.token === null || inUrl ? {} : { cookie }),
  });
  const refused = seen.status >= 400 || seen.code === 4401 || seen.code === 1008;
  judged.outcome = refused && !seen.told ? 'rejected-with-clear-error' : undefined;
  judged.answers.push(JSON.stringify(seen));
  judged.observe(
    'handshake-refused-or-closed-4401/1008',
    refused && !seen.told,
    JSON.stringify(seen),
  );
};

const check = ({ judged, world }: Play, change: Change): void => {
  const token = world.people.ada.client.cookie.split('=')[1] ?? '-';
  judged.observe('token-not-in-access-log', !change.logged.includes(token), 'the running log');
};

export const wsOpen: Family = { act, check };
