import { connect, createServer, type AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';

/** Everything a server sends to one person, byte by byte, over whatever connection. */
export interface Recording {
  url: string;
  /** The bytes of each connection so far, and only those. */
  connections: () => Buffer[];
}

/** A TCP relay in front of a local server that keeps every byte the server sends. */
export const recordingProxy = async (target: string): Promise<Recording> => {
  const port = Number(new URL(target).port);
  const kept: Buffer[][] = [];
  const server = createServer((client) => {
    const chunks: Buffer[] = [];
    kept.push(chunks);
    const upstream = connect(port, '127.0.0.1');
    client.pipe(upstream);
    upstream.on('data', (chunk: Buffer) => {
      chunks.push(chunk);
      client.write(chunk);
    });
    upstream.on('end', () => client.end());
    client.on('error', () => upstream.destroy());
    upstream.on('error', () => client.destroy());
    client.on('close', () => upstream.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  return {
    url: `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`,
    connections: () => kept.map((chunks) => Buffer.concat(chunks)),
  };
};

/** A text as it may stand in bytes: plain, UTF-16, hexadecimal, and base64 at each alignment. */
const disguises = (text: string): [string, Buffer][] => {
  const plain = Buffer.from(text);
  const base64 = [0, 1, 2].map((shift): [string, Buffer] => {
    const shifted = Buffer.concat([Buffer.alloc(shift), plain]).toString('base64');
    // Signs at the edges depend on what stands beside the text.
    return [`base64+${String(shift)}`, Buffer.from(shifted.slice(shift === 0 ? 0 : 4, -4))];
  });
  return [
    ['plain', plain],
    ['utf16', Buffer.from(text, 'utf16le')],
    ['hex', Buffer.from(plain.toString('hex'))],
    ['HEX', Buffer.from(plain.toString('hex').toUpperCase())],
    ...base64,
  ];
};

/** Where texts turn up in bytes: the text and its disguise. */
export const findTexts = (bytes: readonly Buffer[], texts: readonly string[]): string[] =>
  texts.flatMap((text) =>
    disguises(text)
      .filter(([, form]) => bytes.some((b) => b.includes(form)))
      .map(([name]) => `${text} (${name})`),
  );
