import type { Publisher } from './publisher.ts';
import type { Watch } from './watches.ts';

/** What is watched at once by one socket. */
const WATCHES = 8;

/**
 * What one socket looks at. RT-11: it is told of the eight things it asked for last; whoever goes on to a ninth leaves
 * the first behind, and a panel only when there is nothing else: everyone stop must reach who has looked at much since.
 */
export class SocketWatches {
  readonly #known = new Map<string, { watch: Watch; publisher: Publisher }>();

  /** Starts a watch in place of an earlier one of the same thing; undefined when there is nothing that it may see. */
  async start(
    watch: Watch,
    publisher: Publisher,
  ): Promise<Awaited<ReturnType<Publisher['start']>>> {
    this.#stop(watch.of);
    const started = await publisher.start(watch);
    if (!started) return undefined;
    // Asked for twice at once: the other one is in place by now.
    this.#stop(watch.of);
    this.#known.set(watch.of, { watch, publisher });
    if (this.#known.size > WATCHES) this.#stop(this.#oldest());
    return started;
  }

  stopAll(): void {
    for (const of of [...this.#known.keys()]) this.#stop(of);
  }

  #oldest(): string {
    const all = [...this.#known.keys()];
    return all.find((of) => !of.startsWith('pn_')) ?? all[0] ?? '';
  }

  #stop(of: string): void {
    const known = this.#known.get(of);
    known?.publisher.stop(known.watch);
    this.#known.delete(of);
  }
}
