import {
  done,
  refused,
  type Outcome,
  type PanelCommand,
  type PanelEvent,
} from '@unhindered/shared-types';
import type { Arrival, PanelState } from './panel-state.ts';

type Command = Extract<PanelCommand, { type: 'admit-arrival' | 'refuse-arrival' }>;

/** What letting in means for the seat: it is taken, or has one device more, or another one. */
const admission = (state: PanelState, arrival: Arrival): PanelEvent | undefined => {
  const seat = state.seats.get(arrival.seat);
  if (!seat) return undefined;
  const { role, letter } = seat;
  if (arrival.nameHash === null) {
    const type = arrival.move ? 'device-moved' : 'device-added';
    return { type, data: { seat: arrival.seat } };
  }
  const { nameHash } = arrival;
  return { type: 'seat-taken', data: { seat: arrival.seat, role, letter, nameHash } };
};

/**
 * AC-15: who came by a typed code is let in, or turned away, by a moderator. A code can be overheard, read from a
 * screen or guessed; a link of 128 bits is addressed to one person and lets in at once.
 */
export const decideArrival = (state: PanelState, command: Command): Outcome<PanelEvent[]> => {
  const { seat, device } = command;
  const arrival = state.arrivals.get(device);
  if (arrival?.seat !== seat) return refused('unknown-thing', 'Nobody waits there any more.');
  if (command.type === 'refuse-arrival') {
    return done([{ type: 'arrival-refused', data: { seat, device } }]);
  }
  const follows = admission(state, arrival);
  if (!follows) return refused('unknown-thing', 'This panel has no such seat.');
  return done([{ type: 'arrival-admitted', data: { seat, device } }, follows]);
};
