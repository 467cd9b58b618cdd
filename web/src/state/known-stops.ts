/**
 * The last stop of each panel that this device has heard of, kept over reloads: one that it hears of for the first time
 * ends what runs here, also when it was resumed meanwhile, and a run that was started since is left alone.
 */
export class KnownStops {
  readonly #heard = new Map<string, string>();
  readonly #store: Storage;

  constructor(store: Storage = localStorage) {
    this.#store = store;
  }

  /** Whether the panel's stop of this moment is new to this page; from now on it is not. */
  isNew(panel: string, at: string): boolean {
    const key = `stop:${panel}`;
    const before = this.#heard.get(panel) ?? this.#store.getItem(key);
    this.#heard.set(panel, at);
    this.#store.setItem(key, at);
    return before !== at;
  }
}
