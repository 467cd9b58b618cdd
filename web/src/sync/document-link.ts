import { isSyncWrite, SAVED_FRAME } from '@unhindered/shared-types';
import * as decoding from 'lib0/decoding';
import { IndexeddbPersistence } from 'y-indexeddb';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { api } from './api.ts';
import { unsent } from './unsent.ts';

/**
 * Where what was typed is: on its way or kept on this device, on the server's disk, refused, or the document is
 * closed for writing.
 */
export type LinkState = 'saved' | 'saving' | 'offline' | 'refused' | 'frozen' | 'gone';

export interface LinkStatus {
  state: LinkState;
  /** When the server last said that everything is on its disk. */
  savedAt: number | null;
  /** Why an update was refused, in the server's words. */
  reason: string | null;
}

/** A frame was larger than the server takes (RFC 6455, 7.4.1). */
const TOO_BIG = 1009;
const CLOSED = { ticket: 4401, refused: 4403, gone: 4404, frozen: 4409 };

/** Notes that the document is on this device from now on, as long as nobody signs out; whether it is for the first time. */
const isNew = (document: string): boolean => {
  const key = `here:${document}`;
  const fresh = localStorage.getItem(key) === null && !unsent.has(document);
  if (fresh) localStorage.setItem(key, '1');
  return fresh;
};

/**
 * One Yjs document between this device and the server: kept in IndexedDB, sent over y-websocket, and "saved" only
 * when the server has acknowledged every write as durable.
 */
export class DocumentLink {
  readonly doc: Y.Doc;
  readonly document: string;
  readonly #evaluation: string;
  readonly #provider: WebsocketProvider;
  readonly #local: IndexeddbPersistence;
  readonly #changed: (status: LinkStatus) => void;
  #sent = 0;
  #acknowledged = 0;
  #editedOffline = false;
  #status: LinkStatus = { state: 'offline', savedAt: null, reason: null };
  #closed = false;

  constructor(evaluation: string, document: string, changed: (status: LinkStatus) => void) {
    this.#evaluation = evaluation;
    this.document = document;
    this.doc = new Y.Doc({ guid: document });
    this.#changed = changed;
    this.fresh = isNew(document);
    this.#local = new IndexeddbPersistence(`unhindered:${document}`, this.doc);
    const address = `${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/sync`;
    this.#provider = new WebsocketProvider(address, document, this.doc, {
      connect: false,
      // Other tabs of this browser may belong to somebody else, and would bypass every check of the server.
      disableBc: true,
      // No two devices of a lab come back in step.
      maxBackoffTime: 2000 + Math.random() * 3000,
      WebSocketPolyfill: this.#countingSocket(),
    });
    this.#listen();
    void this.#local.whenSynced.then(() => this.#connect());
    window.addEventListener('offline', this.#cut);
    window.addEventListener('online', this.#back);
  }

  get status(): LinkStatus {
    return this.#status;
  }

  /** Whether this device has never had the document: then nobody waits for what it kept. */
  readonly fresh: boolean;

  /** Resolves when what this device kept has been read. */
  get ready(): Promise<unknown> {
    return this.#local.whenSynced;
  }

  destroy(): void {
    this.#closed = true;
    window.removeEventListener('offline', this.#cut);
    window.removeEventListener('online', this.#back);
    try {
      this.#provider.destroy();
    } catch {
      // The stock provider throws here when Yjs gave the document a new client id; it is closed all the same.
    }
    void this.#local.destroy();
  }

  /** Takes what the server told of the document before there was a socket, as base64: it is kept, and no edit of this device. */
  take(update: string): void {
    const bytes = Uint8Array.from(atob(update), (c) => c.charCodeAt(0));
    Y.applyUpdate(this.doc, bytes, this.#provider);
  }

  /** Forgets what this device kept, too. */
  async forget(): Promise<void> {
    unsent.mark(this.document, false);
    await this.#local.clearData();
    this.destroy();
  }

  /** The browser knows sooner than the socket: a dead line is silent for half a minute. */
  readonly #cut = (): void => this.#provider.disconnect();

  readonly #back = (): void => void this.#connect();

  #countingSocket(): typeof WebSocket {
    // The provider makes the socket; only here can its outgoing writes be counted.
    // eslint-disable-next-line @typescript-eslint/no-this-alias -- the class below has a `this` of its own
    const link = this;
    return class extends WebSocket {
      constructor(address: string | URL) {
        super(address);
        link.#sent = 0;
        link.#acknowledged = 0;
      }
      override send(data: Uint8Array<ArrayBuffer>): void {
        if (isSyncWrite(data)) link.#sent++;
        super.send(data);
        link.#update();
      }
    };
  }

  #listen(): void {
    this.#provider.awareness.setLocalState(null);
    this.#provider.messageHandlers[SAVED_FRAME] = (_encoder, decoder) => {
      this.#acknowledged = decoding.readVarUint(decoder);
      this.#update();
    };
    this.#provider.on('sync', () => {
      this.#editedOffline = false;
      this.#update();
    });
    this.#provider.on('status', ({ status }: { status: string }) => {
      if (status === 'disconnected') void this.#renewTicket();
      this.#update();
    });
    this.#provider.on('connection-close', (event: CloseEvent | null) => {
      // Sent again it would be as large again.
      if (event?.code !== TOO_BIG) return;
      this.#provider.disconnect();
      this.#set({ state: 'refused', reason: 'too-large' });
    });
    this.#provider.on('closed', ({ code, reason }: { code: number; reason: string }) => {
      if (code === CLOSED.ticket) void this.#connect();
      else if (code === CLOSED.refused) this.#set({ state: 'refused', reason });
      else if (code === CLOSED.frozen) this.#set({ state: 'frozen' });
      else if (code === CLOSED.gone) this.#set({ state: 'gone' });
    });
    this.doc.on('update', (_update: Uint8Array, origin: unknown) => {
      if (origin === this.#provider || origin === this.#local) return;
      if (!this.#provider.wsconnected) this.#editedOffline = true;
      unsent.mark(this.document, true);
      this.#update();
    });
  }

  async #connect(): Promise<void> {
    await this.#renewTicket();
    if (!this.#closed) this.#provider.connect();
  }

  async #renewTicket(): Promise<void> {
    const body = { evaluation: this.#evaluation, document: this.document };
    const ticket = await api.ticket(body);
    if (ticket.ok) this.#provider.params = { ticket: ticket.value.ticket };
  }

  #update(): void {
    if (['refused', 'frozen', 'gone'].includes(this.#status.state)) return;
    if (!this.#provider.wsconnected) this.#set({ state: 'offline' });
    else if (
      this.#provider.synced &&
      !this.#editedOffline &&
      this.#sent > 0 &&
      this.#acknowledged >= this.#sent
    ) {
      unsent.mark(this.document, false);
      this.#set({ state: 'saved', savedAt: Date.now() });
    } else this.#set({ state: 'saving' });
  }

  #set(change: Partial<LinkStatus>): void {
    const next = { ...this.#status, ...change };
    if (next.state === this.#status.state && next.state !== 'saved') return;
    this.#status = next;
    this.#changed(next);
  }
}
