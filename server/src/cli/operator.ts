import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { Prometheus, type Standing } from '../adapters/prometheus.ts';
import { noMeter, type Meter } from '../ports/meter.ts';
import type { Config } from './config.ts';

/** What a page in a browser sends along and no collector does: another site's page must not read the figures. */
const fromPage = ({ headers }: IncomingMessage): boolean =>
  headers.origin !== undefined || !['none', undefined].includes(headers['sec-fetch-site']);

const answer =
  (prometheus: Prometheus) =>
  async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    if (request.method !== 'GET' || request.url !== '/metrics' || fromPage(request)) {
      response.writeHead(404).end();
      return;
    }
    const { type, body } = await prometheus.text();
    response.writeHead(200, { 'Content-Type': type, 'Cache-Control': 'no-store' }).end(body);
  };

/**
 * The operator's side of a server: figures on a listener of their own (OP-1), and whether it is about to stop (OP-2).
 * The figures are not on the panel's address: how much is being written while a round is sealed is nobody's business
 * there.
 */
export class Operator {
  readonly meter: Meter;
  /** What is there at the moment; to be set once there is something. */
  look: () => Standing = () => ({
    workspaces: 0,
    readOnly: 0,
    trouble: false,
    panelSockets: 0,
    documentSockets: 0,
    documents: 0,
    bus: false,
  });
  /** Whether the store answers; to be set once there is one. */
  reached: () => Promise<boolean> = () => Promise.resolve(true);
  readonly #server: Server | null;
  readonly #config: Config;
  #leaving = false;

  constructor(config: Config) {
    this.#config = config;
    const prometheus = config.metrics === null ? null : new Prometheus(() => this.look());
    this.meter = prometheus ?? noMeter;
    const serve = prometheus && answer(prometheus);
    this.#server =
      serve &&
      createServer({ requestTimeout: 10_000 }, (request, response) => {
        serve(request, response).catch(() => response.destroy());
      });
  }

  readonly leaving = (): boolean => this.#leaving;

  /** Whether notices reach other servers; null where none are carried. */
  readonly bus = (): 'connected' | 'cut' | null => {
    if (this.#config.bus === null) return null;
    return this.look().bus ? 'connected' : 'cut';
  };

  /** Serves the figures; resolves with their address, or null when they are not wanted. Rejects when it cannot be had. */
  listen(): Promise<string | null> {
    const { metrics } = this.#config;
    const server = this.#server;
    if (!server || !metrics) return Promise.resolve(null);
    return new Promise((resolve, reject) => {
      server.once('error', reject);
      server.listen(metrics.port, metrics.host, () => {
        const address = server.address();
        const port = typeof address === 'object' && address ? address.port : metrics.port;
        const host = metrics.host.includes(':') ? `[${metrics.host}]` : metrics.host;
        resolve(`http://${host}:${String(port)}/metrics`);
      });
    });
  }

  /** From now on `/readyz` says no. Resolves after the time that load balancers were promised, or when `hurry` does. */
  async leave(hurry: Promise<void>): Promise<void> {
    this.#leaving = true;
    let timer: NodeJS.Timeout | undefined;
    const waited = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, this.#config.drain * 1000);
    });
    await Promise.race([waited, hurry]);
    clearTimeout(timer);
  }

  close(): void {
    this.#server?.close();
    this.#server?.closeAllConnections();
  }
}
