import type { Contestant } from './contestants.ts';
import { Device } from './device.ts';
import type { World, WorldEvaluation, WorldPanel } from './world.ts';

/** How many documents, and how many devices look at each of them. */
export interface Shape {
  rooms: number;
  devices: number;
}

/** Devices of our server: those of one seat, on its sheet of one evaluation after the other. */
const ownRooms = (server: Contestant, world: World, { rooms, devices }: Shape): Device[][] => {
  const all = world.panels.flatMap((panel) =>
    panel.sealed.map((evaluation) => ({ panel, evaluation })),
  );
  const room = (panel: WorldPanel, evaluation: WorldEvaluation): Device[] => {
    const cookies = panel.seats[0]?.cookies ?? [];
    return Array.from({ length: devices }, (_, d) => {
      const cookie = cookies[d % cookies.length] ?? '';
      const { document = '', clients = [] } = evaluation.sheets[0] ?? {};
      const who = { cookie, evaluation: evaluation.id, client: clients[d] };
      return new Device({ wire: 'ours', url: server.url, room: document, ...who });
    });
  };
  if (all.length < rooms) throw new Error('the world has too few evaluations');
  return all.slice(0, rooms).map(({ panel, evaluation }) => room(panel, evaluation));
};

/** Devices by document, not connected yet. */
export const devicesOf = (server: Contestant, world: World, shape: Shape): Device[][] => {
  if (server.wire === 'ours') return ownRooms(server, world, shape);
  const { wire, url } = server;
  return Array.from({ length: shape.rooms }, (_, r) =>
    Array.from(
      { length: shape.devices },
      () => new Device({ wire, url, room: `room-${String(r)}` }),
    ),
  );
};

/** Connections that one loopback address makes: a server takes 1,000 of one. */
const OF_ONE_ADDRESS = 800;

/** Loopback address of the nth connection. */
export const addressOfNth = (n: number): string =>
  `127.0.0.${String(1 + Math.floor(n / OF_ONE_ADDRESS))}`;

/** Connects devices, some at a time; each has the server's state then. */
export const openAll = async (
  rooms: readonly (readonly Device[])[],
  atOnce = 25,
): Promise<void> => {
  const devices = rooms.flat();
  for (let i = 0; i < devices.length; i += atOnce) {
    await Promise.all(devices.slice(i, i + atOnce).map((d, k) => d.open(addressOfNth(i + k))));
  }
};

export const closeAll = (rooms: readonly (readonly Device[])[]): void => {
  for (const device of rooms.flat()) device.close();
};
