import { randomBytes } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import { createClient } from 'redis';
import type { Bus, Notice } from '../ports/bus.ts';
import type { Log } from '../ports/log.ts';

type Client = ReturnType<typeof createClient>;

const STREAM = 'unhindered:notices';
/** Notices the stream keeps: a process that was away for longer looks at the store instead. */
const KEPT = 20_000;
const BLOCK_MS = 2000;
const RETRY_MS = 300;
/** Notices read at once; more follow at once. */
const COUNT = 500;

const connect = (address: string, log: Log): Client => {
  let broken = false;
  const client = createClient({
    url: address,
    disableOfflineQueue: true,
    socket: { connectTimeout: 3000, reconnectStrategy: (tries) => Math.min(1000, 50 * tries) },
  });
  client.on('error', (error: unknown) => {
    if (!broken) log.error('Redis cannot be reached; other processes are heard late', error);
    broken = true;
  });
  client.on('ready', () => {
    broken = false;
  });
  return client;
};

/**
 * Notices over one Redis stream. BU-1: nothing rests on it: when it is cut, or a notice is trimmed before it was read,
 * every process looks at the store for all that it has in use.
 */
export class RedisBus implements Bus {
  readonly #log: Log;
  readonly #self = randomBytes(9).toString('base64url');
  readonly #writer: Client;
  readonly #reader: Client;
  readonly #hear = new Map<string, (notice: Notice, from: string) => void>();
  readonly #gaps: (() => void)[] = [];
  /** The last notice that was read; null when what follows is not known. */
  #last: string | null = null;
  #closed = false;
  #reading: Promise<void>;

  private constructor(address: string, log: Log) {
    this.#log = log;
    this.#writer = connect(address, log);
    this.#reader = connect(address, log);
    this.#reading = Promise.resolve();
  }

  /** Starts to carry notices to and from `redis://host:port`; goes on trying while nobody answers there. */
  static open(address: string, log: Log): RedisBus {
    const bus = new RedisBus(address, log);
    for (const client of [bus.#writer, bus.#reader]) {
      client.connect().catch(() => undefined);
    }
    bus.#reading = bus.#read();
    return bus;
  }

  tell(workspace: string, notice: Notice): void {
    if (!this.#writer.isReady) return;
    const entry = { from: this.#self, workspace, notice: JSON.stringify(notice) };
    const TRIM = { strategy: 'MAXLEN', strategyModifier: '~', threshold: KEPT } as const;
    this.#writer.xAdd(STREAM, '*', entry, { TRIM }).catch((error: unknown) => {
      if (!this.#closed) this.#log.error('a notice was not carried', error);
    });
  }

  onNotice(workspace: string, hear: (notice: Notice, from: string) => void): void {
    this.#hear.set(workspace, hear);
  }

  onGap(lookAgain: () => void): void {
    this.#gaps.push(lookAgain);
  }

  #lookAgain(): void {
    for (const look of this.#gaps) look();
  }

  connected(): boolean {
    return this.#writer.isReady && this.#reader.isReady && this.#last !== null;
  }

  async close(): Promise<void> {
    this.#closed = true;
    for (const client of [this.#writer, this.#reader]) if (client.isOpen) client.destroy();
    await this.#reading;
  }

  async #read(): Promise<void> {
    while (!this.#closed) {
      try {
        if (!this.#reader.isReady) throw new Error('not connected');
        this.#last ??= await this.#start();
        await this.#some(this.#last);
      } catch {
        // Said once by the client; from the next good answer on everything is looked at again.
        this.#last = null;
        if (!this.#closed) await pause(RETRY_MS, undefined, { ref: false });
      }
    }
  }

  /** The place from which nothing is missed, once everything before it has been looked up in the store. */
  async #start(): Promise<string> {
    const [newest] = await this.#reader.xRevRange(STREAM, '+', '-', { COUNT: 1 });
    this.#lookAgain();
    return newest?.id ?? '0-0';
  }

  async #some(after: string): Promise<void> {
    const streams = await this.#reader.xRead(
      { key: STREAM, id: after },
      { BLOCK: BLOCK_MS, COUNT },
    );
    const entries = (streams as { messages: StreamEntry[] }[] | null)?.[0]?.messages ?? [];
    for (const { id, message } of entries) {
      this.#last = id;
      const { from, workspace, notice } = message;
      if (from === undefined || from === this.#self || notice === undefined) continue;
      this.#hear.get(workspace ?? '')?.(JSON.parse(notice) as Notice, from);
    }
    // A full answer may mean that the stream was trimmed past what had not been read.
    if (entries.length === COUNT) this.#lookAgain();
  }
}

interface StreamEntry {
  id: string;
  message: Record<string, string>;
}
