import { roundHalfUp } from '@unhindered/shared-types';

/** What is kept of a run: wall-clock moments in milliseconds, so that a reload or a locked phone loses nothing. */
interface Kept {
  startedAt: number | null;
  splits: number[];
  stoppedAt: number | null;
  /** Everyone stop ended the run: whoever records it decides what it is. */
  halted?: boolean;
}

const NOTHING: Kept = { startedAt: null, splits: [], stoppedAt: null };

const keyOf = (evaluation: string): string => `stopwatch:${evaluation}`;

const isMoment = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x);

/** Reads what was kept; anything else than a whole run is no run. */
const readKept = (text: string | null): Kept => {
  try {
    const kept = JSON.parse(text ?? '') as Partial<Kept>;
    if (!isMoment(kept.startedAt) || !Array.isArray(kept.splits)) return NOTHING;
    const stoppedAt = isMoment(kept.stoppedAt) ? kept.stoppedAt : null;
    const splits = kept.splits.filter(isMoment);
    return { startedAt: kept.startedAt, splits, stoppedAt, halted: kept.halted === true };
  } catch {
    return NOTHING;
  }
};

/**
 * SD-2: stops every run that this device keeps for these evaluations, whatever screen is shown, and marks it. Nothing
 * of it is lost or entered.
 */
export const haltStored = (
  evaluations: readonly string[],
  store: Storage = localStorage,
  now: () => number = Date.now,
): void => {
  for (const evaluation of evaluations) {
    const key = keyOf(evaluation);
    const kept = readKept(store.getItem(key));
    if (kept.startedAt === null || kept.stoppedAt !== null) continue;
    store.setItem(key, JSON.stringify({ ...kept, stoppedAt: now(), halted: true }));
  }
};

/** Seconds to the tenth, as the record keeps them. */
export const secondsText = (milliseconds: number): string =>
  roundHalfUp(milliseconds / 1000, 1).replace(/\.0$/u, '');

/** A stopwatch that counts from a stored moment of the wall clock. `now` is that clock, milliseconds. */
export class Stopwatch {
  #kept = $state.raw<Kept>(NOTHING);
  #tick = $state(0);
  #timer: ReturnType<typeof setInterval> | undefined;
  readonly #key: string;
  readonly #store: Storage;
  readonly #now: () => number;

  constructor(evaluation: string, store: Storage = localStorage, now: () => number = Date.now) {
    this.#key = keyOf(evaluation);
    this.#store = store;
    this.#now = now;
    this.#kept = readKept(store.getItem(this.#key));
    this.#tick = now();
    this.#follow();
  }

  get running(): boolean {
    return this.#kept.startedAt !== null && this.#kept.stoppedAt === null;
  }

  get stopped(): boolean {
    return this.#kept.stoppedAt !== null;
  }

  /** Everyone stop ended it. */
  get halted(): boolean {
    return this.#kept.halted === true;
  }

  get startedAt(): number | null {
    return this.#kept.startedAt;
  }

  /** Milliseconds since the start, to the stop when there was one. */
  get elapsed(): number {
    const { startedAt, stoppedAt } = this.#kept;
    return startedAt === null ? 0 : Math.max(0, (stoppedAt ?? this.#tick) - startedAt);
  }

  /** The wall clock went back behind the start: what it counts is no time. */
  get astray(): boolean {
    const { startedAt, stoppedAt } = this.#kept;
    return startedAt !== null && (stoppedAt ?? this.#tick) < startedAt;
  }

  /** Milliseconds from the start to each split. */
  get splits(): number[] {
    return this.#kept.splits.map((at) => Math.max(0, at - (this.#kept.startedAt ?? at)));
  }

  start(): void {
    if (this.running) return;
    this.#keep({ startedAt: this.#now(), splits: [], stoppedAt: null });
  }

  split(): void {
    if (!this.running || this.#kept.splits.length >= 20) return;
    this.#keep({ ...this.#kept, splits: [...this.#kept.splits, this.#now()] });
  }

  stop(): void {
    if (this.running) this.#keep({ ...this.#kept, stoppedAt: this.#now() });
  }

  /** Everyone stops: the run ends here and is marked. */
  halt(): void {
    if (this.running) this.#keep({ ...this.#kept, stoppedAt: this.#now(), halted: true });
  }

  clear(): void {
    this.#keep(NOTHING);
  }

  destroy(): void {
    clearInterval(this.#timer);
  }

  #keep(kept: Kept): void {
    this.#kept = kept;
    if (kept.startedAt === null) this.#store.removeItem(this.#key);
    else this.#store.setItem(this.#key, JSON.stringify(kept));
    this.#tick = this.#now();
    this.#follow();
  }

  /** Redraws ten times a second while it runs. */
  #follow(): void {
    clearInterval(this.#timer);
    if (this.running) {
      this.#timer = setInterval(() => {
        this.#tick = this.#now();
      }, 100);
    }
  }
}
