import {
  BOARD_ENTRIES,
  boardEntry,
  boardKey,
  authorOfKey,
  type TrialEntry,
  type TrialVoid,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { DocumentLink, type LinkStatus } from '../sync/document-link.ts';
import { randomId } from '../sync/random-id.ts';
import type { HeldTrial } from './trial-rows.ts';

const readTrial = (value: unknown): HeldTrial | undefined => {
  try {
    const parsed = v.safeParse(boardEntry, JSON.parse(String(value)));
    return parsed.success && parsed.output.kind !== 'remark' ? parsed.output : undefined;
  } catch {
    return undefined;
  }
};

/** The trials on the panel's board, as this device has them; what is entered is kept here first, then sent. */
export class Bench {
  held = $state.raw<ReadonlyMap<string, HeldTrial>>(new Map());
  status = $state.raw<LinkStatus>({ state: 'offline', savedAt: null, reason: null });
  readonly #seat: string;
  readonly #evaluation: string;
  readonly #document: string;
  #link: DocumentLink;
  /** Own entries that the server has yet to get on a fresh copy of the board. */
  #again: [string, string][] = [];

  constructor(evaluation: string, document: string, seat: string) {
    this.#evaluation = evaluation;
    this.#document = document;
    this.#seat = seat;
    this.#link = this.#open();
  }

  /** Puts a trial on the board; returns its key. */
  enter(trial: TrialEntry): string {
    const key = boardKey(this.#seat, randomId(''));
    this.#put([[key, trial]]);
    return key;
  }

  void(trial: string, task: string, reason: string): void {
    this.#put([[boardKey(this.#seat, randomId('')), this.#voidOf(trial, task, reason)]]);
  }

  /** A spoilt run goes on record with its time, void from the first on. */
  enterVoid(trial: TrialEntry, reason: string): void {
    const key = boardKey(this.#seat, randomId(''));
    const voiding = this.#voidOf(key, trial.task, reason);
    this.#put([
      [key, trial],
      [boardKey(this.#seat, randomId('')), voiding],
    ]);
  }

  /**
   * After a refusal nothing of this copy is taken any more. Own trials are put on a fresh copy of the board, as far as
   * the server does not have them.
   */
  async resend(): Promise<void> {
    const own = [...this.held].filter(([key]) => authorOfKey(key) === this.#seat);
    const old = this.#link;
    this.#again = own.map(([key, entry]) => [key, JSON.stringify(entry)]);
    await old.forget();
    this.status = { state: 'offline', savedAt: null, reason: null };
    this.#link = this.#open();
  }

  /** Everything this seat put on the board from here, remarks too, to be kept as a file. */
  exported(): Record<string, unknown>[] {
    const entries = [...this.#link.doc.getMap(BOARD_ENTRIES).entries()];
    return entries
      .filter(([key]) => authorOfKey(key) === this.#seat)
      .map(([key, value]) => ({ key, ...(JSON.parse(String(value)) as object) }));
  }

  destroy(): void {
    this.#link.destroy();
  }

  #voidOf(trial: string, task: string, reason: string): TrialVoid {
    return { kind: 'trial-void', task, trial, reason, at: new Date().toISOString() };
  }

  #put(entries: readonly [string, HeldTrial][]): void {
    const { doc } = this.#link;
    doc.transact(() => {
      for (const [key, entry] of entries) {
        doc.getMap(BOARD_ENTRIES).set(key, JSON.stringify(entry));
      }
    });
  }

  #open(): DocumentLink {
    const link = new DocumentLink(this.#evaluation, this.#document, (status) => {
      this.status = status;
      if (status.state === 'saved') this.#refill(link);
    });
    const map = link.doc.getMap(BOARD_ENTRIES);
    const read = (): void => {
      this.held = new Map(
        [...map.entries()].flatMap(([key, value]) => {
          const entry = readTrial(value);
          return entry ? [[key, entry] as const] : [];
        }),
      );
    };
    map.observe(read);
    read();
    return link;
  }

  /** The server has told all it has: what is missing of the own entries is put back, under the keys they had. */
  #refill(link: DocumentLink): void {
    const again = this.#again;
    this.#again = [];
    if (again.length === 0) return;
    const map = link.doc.getMap(BOARD_ENTRIES);
    link.doc.transact(() => {
      for (const [key, value] of again) if (!map.has(key)) map.set(key, value);
    });
  }
}
