import type { Socket } from 'socket.io';

/** Unsent bytes, roughly, at which a reader of the panel's socket that cannot keep up is let go. */
const BACK_PRESSURE = 4 * 1024 * 1024;

/** What engine.io keeps for a connection; it gives no public word about it. */
interface Backlog {
  writeBuffer?: readonly { data?: unknown }[];
  transport?: { socket?: { bufferedAmount?: number } };
}

const unsent = ({ writeBuffer = [], transport }: Backlog): number =>
  writeBuffer.reduce(
    (sum, { data }) => sum + (typeof data === 'string' ? data.length : 0),
    transport?.socket?.bufferedAmount ?? 0,
  );

/**
 * RT-7: a device that does not read what it is sent is let go before its backlog costs the others anything; it comes
 * back by itself and is told everything anew. True when it was.
 */
export const letGoWhenSlow = (socket: Socket): boolean => {
  const backlog = socket.conn as unknown as Backlog | undefined;
  if (!backlog || unsent(backlog) <= BACK_PRESSURE) return false;
  // A close that waits for the backlog would never come.
  socket.conn.close(true);
  return true;
};
