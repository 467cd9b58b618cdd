import { collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { Meter } from '../ports/meter.ts';

/** What is there at the moment a scrape comes. */
export interface Standing {
  workspaces: number;
  /** Workspaces whose records can be read and not written. */
  readOnly: number;
  /** The store takes nothing at the moment. */
  trouble: boolean;
  panelSockets: number;
  documentSockets: number;
  /** Documents in memory. */
  documents: number;
  /** Notices between servers are carried; never where a server has a store of its own. */
  bus: boolean;
}

/** Bounds in seconds: a group commit takes a few milliseconds, a record some hundred. */
const SECONDS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5];

/** Counts in the Prometheus text format, with the process's own processor time, memory and event loop delay. */
export class Prometheus implements Meter {
  readonly #registry = new Registry();
  readonly #requests;
  readonly #messages;
  readonly #commits;

  /** `look` is called for each scrape. */
  constructor(look: () => Standing) {
    const registers = [this.#registry];
    const timed = <L extends string>(name: string, help: string, labelNames: readonly L[]) =>
      new Histogram({ name, help, labelNames, buckets: SECONDS, registers });
    collectDefaultMetrics({ register: this.#registry });
    this.#requests = timed('unhindered_http_seconds', 'Requests answered.', ['route', 'status']);
    this.#messages = timed('unhindered_message_seconds', 'Messages of panel sockets answered.', [
      'type',
      'outcome',
    ]);
    this.#commits = timed('unhindered_commit_seconds', 'Steps the store was asked to keep.', [
      'outcome',
    ]);
    const gauges: readonly [string, string, (standing: Standing) => number][] = [
      ['workspaces', 'Organisations open in this process.', (s) => s.workspaces],
      ['workspaces_read_only', 'Organisations that are read-only.', (s) => s.readOnly],
      ['store_trouble', '1 while the store takes nothing.', (s) => Number(s.trouble)],
      ['panel_sockets', 'Panel sockets open.', (s) => s.panelSockets],
      ['document_sockets', 'Document sockets open.', (s) => s.documentSockets],
      ['documents_live', 'Documents in memory.', (s) => s.documents],
      ['bus_connected', '1 while notices between servers are carried.', (s) => Number(s.bus)],
    ];
    for (const [name, help, read] of gauges) {
      const collect = function (this: Gauge): void {
        this.set(read(look()));
      };
      new Gauge({ name: `unhindered_${name}`, help, registers, collect });
    }
  }

  answered(route: string, status: number, ms: number): void {
    this.#requests.observe({ route, status: String(status) }, ms / 1000);
  }

  message(type: string, outcome: string, ms: number): void {
    this.#messages.observe({ type, outcome }, ms / 1000);
  }

  committed(outcome: string, ms: number): void {
    this.#commits.observe({ outcome }, ms / 1000);
  }

  /** Everything, as Prometheus reads it. */
  async text(): Promise<{ type: string; body: string }> {
    return { type: this.#registry.contentType, body: await this.#registry.metrics() };
  }
}
