import { randomBytes } from 'node:crypto';
import type { Rejection, WorkshopCommand } from '../../shared-types/src/index.ts';

interface Said {
  status: number;
  body: { error?: Rejection; result?: { draft: string; revision: number } };
}

/** The way one browser asks: its own session cookie. */
export const asker = (url: string, cookie: string) => ({
  post: async (command: WorkshopCommand | object): Promise<Said> => {
    const id = `cm_${randomBytes(16).toString('base64url')}`;
    const message = { id, clientAt: new Date().toISOString(), on: 'workspace', command };
    const response = await fetch(`${url}/api/workshop`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie },
      body: JSON.stringify(message),
    });
    return { status: response.status, body: (await response.json()) as Said['body'] };
  },
  get: async <T>(path: string): Promise<{ status: number; body: T }> => {
    const response = await fetch(`${url}/api${path}`, { headers: { cookie } });
    return { status: response.status, body: (await response.json()) as T };
  },
});
