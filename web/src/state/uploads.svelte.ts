import type { CommandAnswer, Rejection } from '@unhindered/shared-types';
import { localStore } from '../sync/local-store.ts';
import { randomId } from '../sync/random-id.ts';
import { unsent } from '../sync/unsent.ts';
import {
  beginUpload,
  cancelUpload,
  Interrupted,
  sendRest,
  type UploadHome,
} from '../sync/resumable-upload.ts';

/** A file that waits on this device until the server has it. */
export interface Waiting<Place = unknown> {
  key: string;
  file: Blob;
  place: Place;
  description: string;
  /** The server's id, once it was begun. */
  media: string | null;
  /** Bytes on the server's disk. */
  sent: number;
  state: 'sending' | 'waiting' | 'refused';
  /** Why the server refused it, where it said so. */
  why: Rejection | null;
}

const RETRY_MS = 3000;
/** Puts on record what was uploaded. */
type Attach<Place> = (
  media: string,
  what: Pick<Waiting<Place>, 'place' | 'description'>,
) => Promise<CommandAnswer>;

/** Where the files of one list go, and the name under which this browser keeps them. */
export interface UploadList {
  home: UploadHome;
  kept: string;
}

/**
 * The photos and clips of one evaluation or specimen that are on their way. They are kept in this browser until the server says that
 * they are on record, so that a cut, a reload or a flat battery loses nothing.
 */
export class Uploads<Place> {
  list = $state.raw<readonly Waiting<Place>[]>([]);
  /** False when this browser keeps no files: the page must stay open. */
  kept = $state(true);
  saved = $state(0);
  readonly #home: UploadHome;
  readonly #place: string;
  readonly #attach: Attach<Place>;
  readonly #attached: (media: string) => boolean;
  #running = false;
  #over = false;
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** `attached` tells what is on record already: its answer may have been lost on the way. */
  constructor(
    { home, kept }: UploadList,
    attach: Attach<Place>,
    attached: (media: string) => boolean,
  ) {
    this.#home = home;
    this.#place = `uploads:${kept}`;
    this.#attached = attached;
    this.#attach = attach;
    addEventListener('online', this.#go);
    void this.#load();
  }

  async add(file: Blob, place: Place, description: string): Promise<void> {
    const key = randomId('up_');
    const fresh = { media: null, sent: 0, state: 'sending', why: null } as const;
    this.list = [...this.list, { key, file, place, description, ...fresh }];
    await this.#keep();
    this.#go();
  }

  async cancel({ key, media }: Waiting): Promise<void> {
    this.list = this.list.filter((w) => w.key !== key);
    await this.#keep();
    if (media !== null) await cancelUpload(this.#home, media);
  }

  again({ key }: Waiting): void {
    this.#change(key, { state: 'sending', why: null });
    this.#go();
  }

  destroy(): void {
    this.#over = true;
    clearTimeout(this.#timer);
    removeEventListener('online', this.#go);
  }

  readonly #go = (): void => void this.#run();

  async #load(): Promise<void> {
    const found = await localStore.get<Waiting<Place>[]>(this.#place);
    this.list = [...(found ?? []), ...this.list];
    this.#go();
  }

  async #keep(): Promise<void> {
    unsent.mark(this.#place, this.list.length > 0);
    await localStore.set(this.#place, $state.snapshot(this.list));
    const back = await localStore.get<Waiting<Place>[]>(this.#place);
    this.kept = back?.length === this.list.length;
  }

  #change(key: string, by: Partial<Waiting<Place>>): void {
    this.list = this.list.map((w) => (w.key === key ? { ...w, ...by } : w));
  }

  /** One after the other, until all are sent or the network is gone. */
  async #run(): Promise<void> {
    if (this.#running) return;
    this.#running = true;
    clearTimeout(this.#timer);
    try {
      for (;;) {
        const next = this.list.find((w) => w.state !== 'refused');
        if (!next || this.#over) return;
        await this.#one(next);
      }
    } catch (error) {
      if (!(error instanceof Interrupted)) throw error;
      this.list = this.list.map((w) => (w.state === 'sending' ? { ...w, state: 'waiting' } : w));
      if (!this.#over) this.#timer = setTimeout(this.#go, RETRY_MS);
    } finally {
      this.#running = false;
    }
  }

  async #one({ key, file, media: known, place, description }: Waiting<Place>): Promise<void> {
    if (known !== null && this.#attached(known)) {
      this.list = this.list.filter((w) => w.key !== key);
      await this.#keep();
      return;
    }
    this.#change(key, { state: 'sending' });
    const begun = known === null ? await beginUpload(this.#home, file.size) : { media: known };
    if ('why' in begun) {
      this.#change(key, { state: 'refused', why: begun.why });
      return;
    }
    const { media } = begun;
    this.#change(key, { media });
    await this.#keep();
    const told = (sent: number): void => this.#change(key, { sent });
    const step = await sendRest(this.#home, media, file, told);
    if (!this.list.some((w) => w.key === key)) {
      await cancelUpload(this.#home, media);
      return;
    }
    if (step.state === 'gone') this.#change(key, { media: null, sent: 0 });
    else if (step.state === 'refused') this.#change(key, { state: 'refused', why: step.why });
    else await this.#record(key, media, { place, description });
  }

  async #record(
    key: string,
    media: string,
    what: Pick<Waiting<Place>, 'place' | 'description'>,
  ): Promise<void> {
    const answer = await this.#attach(media, what);
    if (answer.ok) {
      this.list = this.list.filter((w) => w.key !== key);
      this.saved += 1;
    } else if (answer.rejection.code === 'try-again') throw new Interrupted();
    else {
      this.#change(key, { state: 'refused', media: null, sent: 0, why: answer.rejection });
    }
    await this.#keep();
  }
}
