import type { Duplex } from 'node:stream';

/** How long somebody has to take in why the line is cut. */
const LEAVE_MS = 2000;

/**
 * RT-10: sends the last bytes of a connection and ends it for good. A socket that is only ended stays open for as long
 * as the other side pleases, and nothing counts its time any more.
 */
export const lastWords = (socket: Duplex, text: string): void => {
  socket.end(text);
  setTimeout(() => socket.destroy(), LEAVE_MS).unref();
};
