import { createServer, request, type IncomingMessage, type Server } from 'node:http';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import * as v from 'valibot';

/** What the running server is asked to do by somebody on the same machine. */
const asked = v.strictObject({ backup: v.pipe(v.string(), v.maxLength(4096)) });

export type ControlAnswer = { ok: true; events: number } | { ok: false; why: string };

/** Longest path of a socket file, bytes (Linux: 108 with the closing zero). */
const LONGEST = 103;

/**
 * A socket file in the data directory, which only its owner may enter: who can reach it could copy the database
 * file anyway, so nothing else is asked. Undefined where there is none: Windows, or a path that is too long.
 */
export const controlPath = (directory: string): string | undefined => {
  const path = join(directory, 'control.sock');
  return process.platform === 'win32' || Buffer.byteLength(path) > LONGEST ? undefined : path;
};

const bodyOf = async (message: IncomingMessage): Promise<unknown> => {
  const chunks: Buffer[] = [];
  for await (const chunk of message) chunks.push(chunk as Buffer);
  return JSON.parse(Buffer.concat(chunks).toString('utf8'));
};

const words = (error: unknown): string => (error instanceof Error ? error.message : 'it failed');

/** Listens for requests from this machine; returns how to stop. The caller holds the store's lock. */
export const listenControl = async (
  path: string,
  backup: (file: string) => Promise<number>,
): Promise<() => void> => {
  rmSync(path, { force: true });
  const handle = async (message: IncomingMessage): Promise<ControlAnswer> => {
    try {
      return { ok: true, events: await backup(v.parse(asked, await bodyOf(message)).backup) };
    } catch (error) {
      return { ok: false, why: words(error) };
    }
  };
  const server: Server = createServer((message, response) => {
    void handle(message).then((answer) => response.end(JSON.stringify(answer)));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(path, resolve);
  });
  server.unref();
  return () => server.close();
};

/** Asks the server of a data directory. Undefined when none is running there. */
export const askControl = (path: string, file: string): Promise<ControlAnswer | undefined> =>
  new Promise((resolve, reject) => {
    const post = request({ socketPath: path, method: 'POST', path: '/' }, (response) => {
      bodyOf(response).then((answer) => resolve(answer as ControlAnswer), reject);
    });
    post.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT' || error.code === 'ECONNREFUSED') resolve(undefined);
      else reject(error);
    });
    post.end(JSON.stringify({ backup: file }));
  });
