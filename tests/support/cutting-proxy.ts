import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

/** A line to a server that can be cut: open connections break, new ones are refused until it is mended. */
export interface CuttingProxy {
  url: string;
  cut: () => void;
  mend: () => void;
  close: () => Promise<void>;
}

export const cuttingProxy = async (target: string): Promise<CuttingProxy> => {
  const { hostname, port } = new URL(target);
  const open = new Set<Socket>();
  let isCut = false;
  const server = createServer((client) => {
    if (isCut) {
      client.destroy();
      return;
    }
    const upstream = connect(Number(port), hostname);
    for (const [one, other] of [
      [client, upstream],
      [upstream, client],
    ] as const) {
      open.add(one);
      one.on('error', () => other.destroy());
      one.on('close', () => {
        open.delete(one);
        other.destroy();
      });
      one.pipe(other);
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port: own } = server.address() as AddressInfo;
  const breakAll = (): void => {
    for (const socket of open) socket.destroy();
  };
  return {
    url: `http://127.0.0.1:${String(own)}`,
    cut: () => {
      isCut = true;
      breakAll();
    },
    mend: () => {
      isCut = false;
    },
    close: async () => {
      breakAll();
      await new Promise((resolve) => server.close(resolve));
    },
  };
};
