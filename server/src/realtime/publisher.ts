import { setImmediate as nextTurn } from 'node:timers/promises';
import type { CheckpointMessage, Witness } from '@unhindered/shared-types';
import type { Audience } from '../evaluation/visibility.ts';
import type { App } from '../flows/app.ts';
import { witnessOf } from '../flows/witness.ts';
import type { Log } from '../ports/log.ts';
import type { Timers } from '../ports/timers.ts';
import { letGoWhenSlow } from './slow-reader.ts';
import { sendSlices } from './slices-packet.ts';
import { Elsewhere } from './presence.ts';
import { inParts, untold, type Watch } from './watches.ts';

/** Presence changes of many people are told together, milliseconds. */
const PRESENCE_MS = 150;

/** Sends what changed, other work let in between the parts; false when the device was let go. */
const tell = async (
  { of, socket }: Watch,
  parts: readonly Record<string, unknown>[],
): Promise<boolean> => {
  for (const [i, slices] of parts.entries()) {
    if (i > 0) await nextTurn();
    sendSlices(socket, of, slices);
    if (letGoWhenSlow(socket)) return false;
  }
  return true;
};

/** Checkpoints with their proofs by the size they start from, in one run. */
type Proven = Map<number, Promise<Witness | null>>;

/**
 * SE-8: pushes are shaped per audience and seat and sent to one socket at a time; nothing is ever sent to
 * "everybody in an evaluation". A change is told as soon as it is on disk.
 */
export class Publisher {
  readonly #app: App;
  readonly #timers: Timers;
  readonly #log: Log;
  readonly #watches = new Map<string, Set<Watch>>();
  readonly #running = new Map<string, Promise<void>>();
  readonly #again = new Set<string>();
  readonly #elsewhere: Elsewhere;
  #presence: (() => void) | undefined;
  #toShare = false;
  /** Tells other processes which seats are online here. */
  shareOnline: (seats: readonly string[]) => void = () => undefined;

  constructor(app: App, timers: Timers, log: Log) {
    this.#elsewhere = new Elsewhere(timers);
    this.#app = app;
    this.#timers = timers;
    this.#log = log;
  }

  /** A seat is online while a socket of it looks at something. */
  readonly online = (seat: string): boolean => {
    for (const watches of this.#watches.values()) {
      for (const watch of watches) if (watch.identity?.seat === seat) return true;
    }
    return this.#elsewhere.has(seat);
  };

  /** Whether anybody looks at a log here. */
  readonly watched = (log: string): boolean => this.#watches.has(log) || this.#running.has(log);

  /** Seats that are online at this process. */
  get seatsHere(): string[] {
    const watches = [...this.#watches.values()].flatMap((set) => [...set]);
    return [...new Set(watches.flatMap((w) => w.identity?.seat ?? []))];
  }

  /** Hears which seats are online at another process. */
  readonly heardOnline = (seats: readonly string[], from: string): void => {
    if (this.#elsewhere.hear(seats, from)) this.#tellPresence(false);
  };

  /** Starts a watch and returns everything it may see, and the newest checkpoint; undefined when that is nothing. */
  async start(
    watch: Watch,
  ): Promise<{ slices: Record<string, unknown>; witness: Witness | null } | undefined> {
    const slices = await untold(this.#app, watch, this.online);
    if (!slices) return undefined;
    const witness = await this.#newer(watch, new Map());
    const parts = inParts(slices);
    const watches = this.#watches.get(watch.of) ?? new Set();
    this.#watches.set(watch.of, watches.add(watch));
    // What changed while the slices were read is told with the presence, after this answer is on its way.
    this.#tellPresence();
    // The answer goes first: it is what the device begins with.
    if (parts.length > 1) watch.sending = nextTurn().then(() => tell(watch, parts.slice(0, -1)));
    return { slices: parts.at(-1) ?? {}, witness };
  }

  stop(watch: Watch): void {
    const watches = this.#watches.get(watch.of);
    if (!watches?.delete(watch)) return;
    if (watches.size === 0) this.#watches.delete(watch.of);
    this.#tellPresence();
  }

  /** Tells everybody who looks at `log` what changed for them. One run at a time; a change meanwhile runs it again. */
  publish(log: string): void {
    if (this.#running.has(log)) {
      this.#again.add(log);
      return;
    }
    const run = this.#run(log)
      .catch((error: unknown) => this.#log.error('a change could not be shown', error))
      .finally(() => {
        this.#running.delete(log);
        if (this.#again.delete(log)) this.publish(log);
      });
    this.#running.set(log, run);
  }

  /** Tells everybody who looks at a panel what changed for them. */
  publishPanels(): void {
    for (const log of this.#watches.keys()) if (log.startsWith('pn_')) this.publish(log);
  }

  /** Resolves when the run that is telling of a log is over. */
  async told(log: string): Promise<void> {
    await this.#running.get(log);
  }

  /** Looks no more; resolves when nothing is being read any more. */
  async close(): Promise<void> {
    this.#presence?.();
    this.#watches.clear();
    this.#again.clear();
    while (this.#running.size > 0) await Promise.all(this.#running.values());
  }

  async #run(log: string): Promise<void> {
    const shared: Parameters<typeof untold>[3] = new Map<Audience, never>();
    const proven: Proven = new Map();
    for (const watch of [...(this.#watches.get(log) ?? [])]) {
      const slices = await untold(this.#app, watch, this.online, shared);
      if (!slices) {
        this.stop(watch);
        continue;
      }
      await watch.sending;
      const told = Object.keys(slices).length === 0 || (await tell(watch, inParts(slices)));
      if (told) await this.#witness(watch, proven);
    }
  }

  /** RT-2: every device keeps the newest checkpoint: a history rewritten later does not fit it. */
  async #witness(watch: Watch, proven: Proven): Promise<void> {
    const witness = await this.#newer(watch, proven);
    if (!witness) return;
    const message: CheckpointMessage = { of: watch.of, ...witness };
    watch.socket.emit('checkpoint', message);
  }

  /** A checkpoint that a watch was not sent yet, with its proof; devices that saw the same share one. */
  async #newer(watch: Watch, proven: Proven): Promise<Witness | null> {
    if (!watch.of.startsWith('ev_')) return null;
    const live = await this.#app.logs.evaluation(watch.of);
    if (!live || live.note === null || live.note === watch.note) return null;
    const { note, covered } = live;
    const known = proven.get(watch.seen) ?? witnessOf(this.#app, live, watch.seen);
    proven.set(watch.seen, known);
    const witness = await known;
    watch.note = note;
    if (witness?.proof) watch.seen = covered;
    return witness;
  }

  #tellPresence(share = true): void {
    if (share) this.#toShare = true;
    this.#presence ??= this.#timers.after(PRESENCE_MS, () => {
      this.#presence = undefined;
      if (this.#toShare) this.shareOnline(this.seatsHere);
      this.#toShare = false;
      for (const log of this.#watches.keys()) this.publish(log);
    });
  }
}
