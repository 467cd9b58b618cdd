import type { Envelope, SystemEvent, SystemNote } from '@unhindered/shared-types';

/** What happened to the server of a workspace, as the log of it tells. */
export interface SystemState {
  /** The program that served last. */
  software: string | null;
  /** It runs, or ended without being stopped. */
  running: boolean;
  /** The sum of all jumps of the clock while a server ran, milliseconds. */
  skew: number;
  /** The signing key that took over last; null while there was only one. */
  key: string | null;
  /** The newest things that a moderator should know of, newest first. */
  notes: readonly (SystemNote & Pick<Envelope, 'at'>)[];
}

const NOTES = 20;

export const emptySystem: SystemState = {
  software: null,
  running: false,
  skew: 0,
  key: null,
  notes: [],
};

/** The server's state after one more event. */
export const applySystem = (
  state: SystemState,
  event: SystemEvent & Pick<Envelope, 'at'>,
): SystemState => {
  switch (event.type) {
    case 'server-stopped':
      return { ...state, running: false };
    case 'key-rotated':
      return { ...state, key: event.data.now };
    case 'codes-closed':
      return state;
    case 'server-started':
    case 'clock-jumped':
    case 'store-restored': {
      const notes = [event, ...state.notes].slice(0, NOTES);
      if (event.type === 'server-started') {
        return { ...state, notes, software: event.data.software, running: true };
      }
      // A backup is a copy of a server that ran: that is no unclean end.
      if (event.type === 'store-restored') return { ...state, notes, running: false };
      const skew = event.data.running ? state.skew + event.data.ms : state.skew;
      return { ...state, notes, skew };
    }
  }
};
