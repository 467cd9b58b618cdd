/** One WebSocket message as it went over the line: its kind and length, and the first signs of a text. */
export interface WireMessage {
  length: number;
  /** `text` or `binary`; pings and pongs follow the clock and are left out. */
  kind: 'text' | 'binary' | 'close';
  start: string;
}

const KINDS: Readonly<Record<number, WireMessage['kind']>> = { 1: 'text', 2: 'binary', 8: 'close' };

/** Length of a message, and where its bytes begin; undefined when the header is not whole. */
const header = (bytes: Buffer, at: number): { length: number; from: number } | undefined => {
  if (at + 2 > bytes.length) return undefined;
  const short = (bytes[at + 1] ?? 0) & 0x7f;
  if (short < 126) return { length: short, from: at + 2 };
  const wide = short === 126 ? 2 : 8;
  if (at + 2 + wide > bytes.length) return undefined;
  const length = wide === 2 ? bytes.readUInt16BE(at + 2) : Number(bytes.readBigUInt64BE(at + 2));
  return { length, from: at + 2 + wide };
};

/**
 * The messages in the bytes that a server sent over one connection (RFC 6455, section 5.2: never masked, not split
 * here), oldest first. Empty when the connection was no WebSocket.
 */
export const socketMessages = (bytes: Buffer): WireMessage[] => {
  const end = bytes.indexOf('\r\n\r\n');
  if (end < 0 || !bytes.subarray(0, end).toString('latin1').startsWith('HTTP/1.1 101')) return [];
  const messages: WireMessage[] = [];
  let at = end + 4;
  for (let next = header(bytes, at); next; next = header(bytes, at)) {
    const { length, from } = next;
    const kind = KINDS[(bytes[at] ?? 0) & 0x0f];
    const start = bytes.subarray(from, from + Math.min(length, 40)).toString('latin1');
    if (kind) messages.push({ length, kind, start });
    at = from + length;
  }
  return messages;
};
