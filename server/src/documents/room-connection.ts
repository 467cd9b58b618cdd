/** Largest frames, bytes: a live edit, and the first reply after a reconnect. */
export interface FrameLimits {
  live: number;
  first: number;
}

/** A client of a room, without its socket. */
export interface RoomConnection {
  seat: string;
  device: string;
  /** Re-evaluated on every change of state; a client that may not write can still read. */
  mode: 'write' | 'read';
  send(bytes: Uint8Array): void;
  close(code: number, reason: string): void;
  /** Bytes sent and not yet taken by the network. */
  buffered(): number;
}
