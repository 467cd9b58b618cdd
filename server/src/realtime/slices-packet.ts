import type { Socket } from 'socket.io';

/** Slices that did not change are the same objects: their JSON is written once, however many are told. */
const written = new WeakMap<object, string>();

/** JSON of a slice. */
export const jsonOf = (value: unknown): string => {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const known = written.get(value) ?? JSON.stringify(value);
  written.set(value, known);
  return known;
};

/** Packet type of an event in the socket.io protocol, revision 5, in the namespace of all. */
const EVENT = '2';

/** RT-13: the text of a `slices` event, to the letter, which the library's own encoder would write anew for each device. */
export const slicesPacket = (of: string, slices: Readonly<Record<string, unknown>>): string => {
  const parts = Object.entries(slices).flatMap(([key, slice]) =>
    // As in JSON, what is undefined is left out.
    slice === undefined ? [] : [`${JSON.stringify(key)}:${jsonOf(slice)}`],
  );
  return `${EVENT}["slices",{"of":${JSON.stringify(of)},"slices":{${parts.join(',')}}}]`;
};

/** Sends slices to one socket: a SlicesMessage under the name `slices`, in turn with what else it is sent. */
export const sendSlices = (
  socket: Socket,
  of: string,
  slices: Readonly<Record<string, unknown>>,
): void => {
  if (socket.connected) socket.conn.write(slicesPacket(of, slices));
};
