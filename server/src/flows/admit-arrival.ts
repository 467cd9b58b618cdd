import type { PanelCommand } from '@unhindered/shared-types';
import type { Batch, Session } from '../ports/store.ts';
import type { App, LivePanel } from './app.ts';

type ArrivalCommand = Extract<PanelCommand, { type: 'admit-arrival' | 'refuse-arrival' }>;

export const isArrivalCommand = (command: PanelCommand): command is ArrivalCommand =>
  command.type === 'admit-arrival' || command.type === 'refuse-arrival';

/** Sessions that end when a device is let in: the others of its seat, when it takes their place. */
export const endedByAdmission = async (
  app: App,
  panel: LivePanel,
  { type, seat, device }: ArrivalCommand,
): Promise<Session[]> => {
  if (type === 'refuse-arrival' || panel.state.arrivals.get(device)?.move !== true) return [];
  const sessions = await app.store.sessionsOf(seat);
  return sessions.filter((s) => s.arrival === 'admitted' && s.device !== device);
};

/** Forgets the name of somebody who is turned away from a free seat. */
const forgotten = async (app: App, panel: LivePanel, seat: string): Promise<Batch> => {
  if (panel.state.seats.get(seat)?.state !== 'waiting') return {};
  const person = (await app.store.people(panel.id)).find((p) => p.seat === seat);
  return person ? { people: [{ ...person, name: '', salt: '' }], scrub: true } : {};
};

/** Rows beside the events of letting in or turning away: the session's state, and names that are not kept. */
export const arrivalRows = async (
  app: App,
  panel: LivePanel,
  command: ArrivalCommand,
): Promise<Batch> => {
  const { type, seat, device } = command;
  const sessions = await app.store.sessionsOf(seat);
  const arrival = type === 'admit-arrival' ? ('admitted' as const) : ('refused' as const);
  const ended = await endedByAdmission(app, panel, command);
  return {
    arrivals: sessions
      .filter((s) => s.device === device && s.arrival === 'waiting')
      .map((s) => ({ session: s.id, arrival })),
    endSessions: ended.map((s) => s.id),
    ...(type === 'refuse-arrival' ? await forgotten(app, panel, seat) : {}),
  };
};
