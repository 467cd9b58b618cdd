import { createServer, request } from 'node:http';
import { connect, type AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';

/** A server seen through a door that can be told things: another release of the pages, sockets shut. */
export interface ReleaseProxy {
  url: string;
  /** The name of the release that the pages claim to be; empty for their own. */
  release: string;
  /** Whether sockets get through. */
  sockets: boolean;
}

/** What of a release a browser looks at to tell that it is another one. */
const renamed = (path: string, body: string, release: string): string => {
  if (path.startsWith('/service-worker.js')) return `${body}\n// ${release}`;
  if (!path.startsWith('/precache.json')) return body;
  return JSON.stringify({ ...(JSON.parse(body) as object), version: release });
};

/** Passes everything on to `target`, whose own pages come as those of another release once one is named. */
export const releaseProxy = async (target: string): Promise<ReleaseProxy> => {
  const { hostname, port } = new URL(target);
  const state: ReleaseProxy = { url: '', release: '', sockets: true };
  const server = createServer((ask, answer) => {
    const path = ask.url ?? '/';
    const changed = state.release !== '' && /^\/(?:service-worker\.js|precache\.json)/u.test(path);
    const headers = { ...ask.headers, ...(changed ? { 'accept-encoding': 'identity' } : {}) };
    const onward = request({ hostname, port, path, method: ask.method, headers }, (from) => {
      if (!changed) {
        answer.writeHead(from.statusCode ?? 502, from.headers);
        from.pipe(answer);
        return;
      }
      const parts: Buffer[] = [];
      from.on('data', (part: Buffer) => parts.push(part));
      from.on('end', () => {
        const type = from.headers['content-type'];
        answer.writeHead(200, { 'content-type': type, 'cache-control': 'no-cache' });
        answer.end(renamed(path, Buffer.concat(parts).toString(), state.release));
      });
    });
    onward.on('error', () => answer.destroy());
    ask.pipe(onward);
  });
  server.on('upgrade', (ask, socket, head) => {
    if (!state.sockets) {
      socket.destroy();
      return;
    }
    const onward = connect(Number(port), hostname, () => {
      const lines = ask.rawHeaders.flatMap((v, i, all) =>
        i % 2 ? [`${all[i - 1] ?? ''}: ${v}`] : [],
      );
      onward.write(`${[`GET ${ask.url ?? '/'} HTTP/1.1`, ...lines].join('\r\n')}\r\n\r\n`);
      onward.write(head);
      socket.pipe(onward).pipe(socket);
    });
    for (const end of [socket, onward]) end.on('error', () => (socket.destroy(), onward.destroy()));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => {
    server.close();
    server.closeAllConnections();
  });
  state.url = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  return state;
};
