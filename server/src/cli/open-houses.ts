import { beside } from './beside.ts';
import { openHouse, type Common } from './house.ts';
import { follow, type Listeners, type Parts } from './listeners.ts';
import { UnderWay } from '../flows/under-way.ts';
import type { Home } from './home.ts';

/** How often workspaces are looked for that another process added and nobody has come to yet, milliseconds. */
const LOOK_MS = 10_000;

/** The organisations that are open in this process. */
export class OpenHouses {
  readonly #home: Home;
  readonly #common: Common;
  readonly #open = new Map<string, Parts>();
  readonly #opening = new Map<string, Promise<Parts>>();
  readonly #following: UnderWay;
  #listeners: Listeners | undefined;

  constructor(home: Home, common: Common) {
    this.#home = home;
    this.#common = common;
    this.#following = new UnderWay(common.log);
  }

  all(): Parts[] {
    return [...this.#open.values()];
  }

  /** Opens every organisation of the store that is not open yet, the first first. */
  async openAll(): Promise<void> {
    for (const { id } of await this.#home.workspaces.all()) await this.open(id);
  }

  /** The organisation of a workspace id that the store knows. */
  open(id: string): Promise<Parts> {
    const house = this.#opening.get(id) ?? this.#make(id);
    this.#opening.set(id, house);
    house.catch(() => this.#opening.delete(id));
    return house;
  }

  /** The same for an id that may be none; on a store of its own a process knows all there are. */
  async find(id: string): Promise<Parts | undefined> {
    const known = this.#open.get(id);
    if (known || !this.#home.shared) return known;
    const exists = (await this.#home.workspaces.all()).some((w) => w.id === id);
    return exists ? this.open(id) : undefined;
  }

  /** From now on what happens in every organisation, also in those that are opened later, reaches the listeners. */
  async join(listeners: Listeners): Promise<void> {
    this.#listeners = listeners;
    for (const [id, house] of this.#open) await this.#attach(id, house, listeners);
    if (!this.#home.shared) return;
    this.#following.every(LOOK_MS, 'workspaces could not be read', () => this.openAll());
  }

  /** Follows other processes no more; resolves when nothing of theirs is being read, or after `atMost` milliseconds. */
  stop(atMost: number): Promise<void> {
    return this.#following.end(atMost);
  }

  async #make(id: string): Promise<Parts> {
    const house = await openHouse(this.#home.kept(id), this.#common);
    if (this.#listeners) await this.#attach(id, house, this.#listeners);
    this.#open.set(id, house);
    return house;
  }

  async #attach(id: string, house: Parts, listeners: Listeners): Promise<void> {
    follow(house, listeners);
    const { bus, shared } = this.#home;
    if (shared) await beside(house, id, bus, this.#following);
  }
}
