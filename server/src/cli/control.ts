import { createServer, request, type IncomingMessage, type Server } from 'node:http';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import * as v from 'valibot';
import type { Workspace } from '../ports/workspaces.ts';

const text = v.pipe(v.string(), v.maxLength(4096));

/** What the running server is asked to do by somebody on the same machine. */
const asked = v.variant('do', [
  v.strictObject({ do: v.literal('backup'), file: text }),
  v.strictObject({ do: v.literal('workspaces') }),
  v.strictObject({ do: v.literal('add-workspace'), name: text }),
  v.strictObject({ do: v.literal('link-workspace'), name: text }),
]);
export type ControlAsk = v.InferOutput<typeof asked>;

/** What the server does for it; each throws with words. */
export interface ControlWork {
  backup: (file: string) => Promise<{ events: number }>;
  workspaces: () => Promise<{ workspaces: Workspace[] }>;
  addWorkspace: (name: string) => Promise<{ link: string }>;
  linkWorkspace: (name: string) => Promise<{ link: string }>;
}

export type ControlAnswer =
  | { ok: true; events?: number; link?: string; workspaces?: Workspace[] }
  | { ok: false; why: string };

const perform = (
  work: ControlWork,
  ask: ControlAsk,
): Promise<Omit<ControlAnswer & { ok: true }, 'ok'>> => {
  switch (ask.do) {
    case 'backup':
      return work.backup(ask.file);
    case 'workspaces':
      return work.workspaces();
    case 'add-workspace':
      return work.addWorkspace(ask.name);
    case 'link-workspace':
      return work.linkWorkspace(ask.name);
  }
};

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
export const listenControl = async (path: string, work: ControlWork): Promise<() => void> => {
  rmSync(path, { force: true });
  const handle = async (message: IncomingMessage): Promise<ControlAnswer> => {
    try {
      const ask = v.parse(asked, await bodyOf(message));
      return { ok: true, ...(await perform(work, ask)) };
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
export const askControl = (path: string, ask: ControlAsk): Promise<ControlAnswer | undefined> =>
  new Promise((resolve, reject) => {
    const post = request({ socketPath: path, method: 'POST', path: '/' }, (response) => {
      bodyOf(response).then((answer) => resolve(answer as ControlAnswer), reject);
    });
    post.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT' || error.code === 'ECONNREFUSED') resolve(undefined);
      else reject(error);
    });
    post.end(JSON.stringify(ask));
  });
