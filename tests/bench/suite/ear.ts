import { WebSocket } from 'ws';

/**
 * A device at the live socket that parses nothing: Engine.IO 4 and Socket.IO 5 by hand, as far as watching takes. Fifty
 * devices that share a core would otherwise be measured waiting for each other's parsing, which each does on its own
 * processor outside a bench.
 */
export class Ear {
  readonly #ws: WebSocket;
  #heard: ((packet: string) => void)[] = [];
  #asked = 0;

  constructor(url: string, cookie: string) {
    const address = `${url.replace(/^http/u, 'ws')}/live/?EIO=4&transport=websocket`;
    this.#ws = new WebSocket(address, { headers: { cookie } });
    this.#ws.on('message', (data: Buffer) => {
      const packet = data.toString('latin1');
      if (packet === '2') this.#ws.send('3');
      else if (packet.startsWith('0{')) this.#ws.send('40');
      for (const hear of [...this.#heard]) hear(packet);
    });
  }

  /** Resolves with the time when a packet came that begins so and holds these words. */
  hear(begins: string, words: string): Promise<number> {
    return new Promise((resolve) => {
      const hear = (packet: string): void => {
        if (!packet.startsWith(begins) || !packet.includes(words)) return;
        this.#heard = this.#heard.filter((h) => h !== hear);
        resolve(performance.now());
      };
      this.#heard.push(hear);
    });
  }

  /** Resolves when the socket may be used. */
  static async open(url: string, cookie: string): Promise<Ear> {
    const ear = new Ear(url, cookie);
    await ear.hear('40', '');
    return ear;
  }

  /** Looks at an evaluation. */
  async watch(evaluation: string): Promise<void> {
    const id = this.#asked++;
    const answered = this.hear(`43${String(id)}`, '');
    this.#ws.send(`42${String(id)}${JSON.stringify(['watch', { on: 'evaluation', evaluation }])}`);
    await answered;
  }

  close(): void {
    this.#ws.close();
  }
}
