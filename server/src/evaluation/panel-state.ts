import type { Declaration, Envelope, PanelEvent, Role } from '@unhindered/shared-types';
import { applySafety, noSafety, type SafetyState } from './safety-state.ts';

export interface PanelSeatState {
  seat: string;
  role: Role;
  letter: string | null;
  label: string;
  state: 'offered' | 'waiting' | 'taken' | 'revoked';
  nameHash: string | null;
  /** The name was erased on request; the hash says nothing any more. */
  erased: boolean;
  declaration: Declaration | null;
  /** The evaluation whose ratings from paper it holds: nobody sits there. Null for a seat that people take. */
  paper: string | null;
}

/** A public read-only link to one record or care card. `secretHash` is SHA-256 of what the link carries. */
export interface PanelLink {
  link: string;
  evaluation: string;
  what: 'record' | 'card';
  /** Whether the panel's names are shown. */
  names: boolean;
  secretHash: string;
  madeAt: string;
  ended: boolean;
}

/** A device that came by a typed code and waits to be let in. */
export interface Arrival {
  seat: string;
  device: string;
  /** Commitment to the name of somebody new; null for a further device of a taken seat. */
  nameHash: string | null;
  /** It takes the place of the seat's other devices. */
  move: boolean;
  at: string;
}

/** One panel as its log tells it: who sits, what they declared, which evaluations it holds. */
export interface PanelState {
  panel: string;
  title: string;
  occasion: string;
  createdAt: string;
  seats: ReadonlyMap<string, PanelSeatState>;
  /** By device, in the order they came. */
  arrivals: ReadonlyMap<string, Arrival>;
  evaluations: readonly { evaluation: string; title: string }[];
  /** Public links, ended ones included, in the order they were made. */
  links: ReadonlyMap<string, PanelLink>;
  /** Stops, briefing and models of the day. */
  safety: SafetyState;
}

export const emptyPanel: PanelState = {
  panel: '',
  title: '',
  occasion: '',
  createdAt: '',
  seats: new Map(),
  arrivals: new Map(),
  evaluations: [],
  links: new Map(),
  safety: noSafety,
};

const change = (state: PanelState, seat: string, to: Partial<PanelSeatState>): PanelState => {
  const old = state.seats.get(seat);
  return old ? { ...state, seats: new Map(state.seats).set(seat, { ...old, ...to }) } : state;
};

const withArrival = (state: PanelState, arrival: Arrival): PanelState => ({
  ...state,
  arrivals: new Map(state.arrivals).set(arrival.device, arrival),
});

const withoutArrivals = (state: PanelState, leaves: (arrival: Arrival) => boolean): PanelState => ({
  ...state,
  arrivals: new Map([...state.arrivals].filter(([, arrival]) => !leaves(arrival))),
});

/** A free seat that somebody waited for is on offer again. */
const turnedAway = (state: PanelState, seat: string, device: string): PanelState => {
  const rest = withoutArrivals(state, (a) => a.device === device);
  const waited = rest.seats.get(seat)?.state === 'waiting';
  return waited ? change(rest, seat, { state: 'offered', nameHash: null }) : rest;
};

/** The panel after one more event. */
export const applyPanel = (
  state: PanelState,
  event: PanelEvent & Pick<Envelope, 'at'>,
): PanelState => {
  switch (event.type) {
    case 'panel-created':
      return { ...state, ...event.data, createdAt: event.at };
    case 'seat-offered':
      return {
        ...state,
        seats: new Map(state.seats).set(event.data.seat, {
          ...event.data,
          state: 'offered',
          nameHash: null,
          erased: false,
          declaration: null,
          paper: null,
        }),
      };
    case 'seat-taken': {
      const { seat, role, letter, nameHash } = event.data;
      const old = state.seats.get(seat);
      return {
        ...state,
        seats: new Map(state.seats).set(seat, {
          seat,
          role,
          letter,
          label: old?.label ?? '',
          state: 'taken',
          nameHash,
          erased: false,
          declaration: null,
          paper: null,
        }),
      };
    }
    case 'paper-seat-made': {
      const { seat, letter, nameHash, evaluation: paper } = event.data;
      const made = { seat, role: 'reviewer', letter, label: '', state: 'taken' } as const;
      const about = { nameHash, erased: false, declaration: null, paper };
      return { ...state, seats: new Map(state.seats).set(seat, { ...made, ...about }) };
    }
    case 'seat-asked': {
      const { seat, device, nameHash } = event.data;
      const asked = change(state, seat, { state: 'waiting', nameHash });
      return withArrival(asked, { seat, device, nameHash, move: false, at: event.at });
    }
    case 'device-asked':
      return withArrival(state, { ...event.data, nameHash: null, at: event.at });
    case 'arrival-admitted':
      return withoutArrivals(state, (a) => a.device === event.data.device);
    case 'arrival-refused':
      return turnedAway(state, event.data.seat, event.data.device);
    case 'offer-cancelled':
    case 'seat-revoked': {
      const { seat } = event.data;
      return change(
        withoutArrivals(state, (a) => a.seat === seat),
        seat,
        { state: 'revoked' },
      );
    }
    case 'interest-declared':
      return change(state, event.data.seat, { declaration: event.data.declaration });
    case 'evaluation-added':
      return { ...state, evaluations: [...state.evaluations, event.data] };
    case 'name-erased':
      return change(state, event.data.seat, { erased: true });
    case 'link-published': {
      const link = { ...event.data, madeAt: event.at, ended: false };
      return { ...state, links: new Map(state.links).set(link.link, link) };
    }
    case 'link-ended': {
      const link = state.links.get(event.data.link);
      if (!link) return state;
      return { ...state, links: new Map(state.links).set(link.link, { ...link, ended: true }) };
    }
    case 'everyone-stopped':
    case 'everyone-resumed':
    case 'briefing-acknowledged':
    case 'consent-recorded':
    case 'consent-withdrawn':
      return { ...state, safety: applySafety(state.safety, event) };
    case 'codes-reopened':
    case 'device-added':
    case 'device-moved':
      return state;
  }
};

/** The panel after all events of its log, oldest first. */
export const foldPanel = (events: readonly (PanelEvent & Pick<Envelope, 'at'>)[]): PanelState =>
  events.reduce(applyPanel, emptyPanel);

/** The next reviewer's letter, after `more` others: A to Z, then AA, AB ... A letter is never given twice. */
export const nextLetter = (state: PanelState, more = 0): string => {
  const used = [...state.seats.values()].filter((s) => s.letter !== null).length + more;
  const sign = (n: number): string => String.fromCharCode(65 + n);
  return used < 26 ? sign(used) : sign(Math.floor(used / 26) - 1) + sign(used % 26);
};
