import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

/** A line to a server as a phone far from the mast has it: shared by every connection, the sockets' too. */
export interface SlowLine {
  url: string;
  close: () => Promise<void>;
}

export interface LinePlan {
  /** Bits a second, each way. */
  bitsPerSecond: number;
  /** There and back, milliseconds; a new connection costs one more of it before it carries anything. */
  roundTripMs: number;
}

/** One direction: says when a number of bytes that is sent now is at the other end, on the clock of this process. */
const lane = ({ bitsPerSecond, roundTripMs }: LinePlan): ((bytes: number) => number) => {
  let free = 0;
  return (bytes) => {
    free = Math.max(free, performance.now()) + (bytes * 8000) / bitsPerSecond;
    return free + roundTripMs / 2;
  };
};

/** Pieces of the size of a packet, so that two connections share the line fairly. */
const PACKET = 1400;

/** Everything that one end says, to the other, in its order and when the lane has brought it there. */
const carry = (from: Socket, to: Socket, arrives: (bytes: number) => number): void => {
  const queue: { at: number; piece: Buffer | null }[] = [];
  let waiting = false;
  const deliver = (): void => {
    waiting = false;
    while (queue[0] && queue[0].at <= performance.now()) {
      const { piece } = queue.shift() ?? {};
      if (piece) to.write(piece);
      else to.end();
    }
    wait();
  };
  const wait = (): void => {
    if (waiting || !queue[0]) return;
    waiting = true;
    setTimeout(deliver, Math.max(1, queue[0].at - performance.now()));
  };
  const send = (piece: Buffer | null): void => {
    queue.push({ at: arrives(piece?.length ?? 0), piece });
    wait();
  };
  from.on('data', (chunk: Buffer) => {
    for (let at = 0; at < chunk.length; at += PACKET) send(chunk.subarray(at, at + PACKET));
  });
  from.on('error', () => to.destroy());
  from.on('close', () => send(null));
};

/** A slow line to `target`, at an address of its own. */
export const slowLine = async (target: string, plan: LinePlan): Promise<SlowLine> => {
  const { hostname, port } = new URL(target);
  const [up, down] = [lane(plan), lane(plan)];
  const open = new Set<Socket>();
  const server = createServer({ pauseOnConnect: true }, (client) => {
    const upstream = connect(Number(port), hostname);
    for (const socket of [client, upstream]) {
      open.add(socket);
      socket.on('close', () => open.delete(socket));
    }
    carry(client, upstream, up);
    carry(upstream, client, down);
    setTimeout(() => client.resume(), plan.roundTripMs);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port: own } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${String(own)}`,
    close: async () => {
      for (const socket of open) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
};
