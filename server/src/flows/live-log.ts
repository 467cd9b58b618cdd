import {
  envelope,
  evaluationEvent,
  panelEvent,
  registerEvent,
  systemEvent,
  workshopEvent,
  type Envelope,
  type EvaluationEvent,
  type PanelEvent,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { parseCanonical } from '../audit/canonical-json.ts';
import { Frontier, leafHash } from '../audit/merkle.ts';
import { apply } from '../evaluation/fold.ts';
import { applyPanel, emptyPanel, type PanelState } from '../evaluation/panel-state.ts';
import { applyRegister, emptyRegister, type RegisterState } from '../evaluation/register.ts';
import { applySystem, emptySystem, type SystemState } from '../evaluation/system-state.ts';
import { emptyEvaluation, type EvaluationState } from '../evaluation/state.ts';
import { applyWorkshop, emptyWorkshop, type WorkshopState } from '../protocol/workshop.ts';
import { eachInTurns, inOneGo, inStages, ratingsInText } from './in-turns.ts';

type Stamp = Pick<Envelope, 'at' | 'actor'>;

/** How a kind of log turns its events into state. */
interface Kind<State> {
  empty: State;
  /** Throws when the event is not one of this kind. */
  read: (event: Envelope) => (state: State) => State;
}

const payload = (e: Envelope): { type: string; data: unknown } => ({ type: e.type, data: e.data });

export const evaluationLog: Kind<EvaluationState> = {
  empty: emptyEvaluation,
  read: (e) => {
    const event: EvaluationEvent = v.parse(evaluationEvent, payload(e));
    const stamp: Stamp = { at: e.at, actor: e.actor };
    return (state) => apply(state, { ...event, ...stamp });
  },
};

export const panelLog: Kind<PanelState> = {
  empty: emptyPanel,
  read: (e) => {
    const event: PanelEvent = v.parse(panelEvent, payload(e));
    return (state) => applyPanel(state, { ...event, at: e.at });
  },
};

export const systemLog: Kind<SystemState> = {
  empty: emptySystem,
  read: (e) => {
    const event = v.parse(systemEvent, payload(e));
    return (state) => applySystem(state, { ...event, at: e.at });
  },
};

/** Where a log stands: its state, and the edge of its tree. */
interface Edge<State> {
  state: State;
  frontier: Frontier;
  lastAt: string;
}

export const registerLog: Kind<RegisterState> = {
  empty: emptyRegister,
  read: (e) => {
    const event = v.parse(registerEvent, payload(e));
    return (state) => applyRegister(state, { ...event, at: e.at });
  },
};

export const workshopLog: Kind<WorkshopState> = {
  empty: emptyWorkshop,
  read: (e) => {
    const event = v.parse(workshopEvent, payload(e));
    const stamp: Stamp = { at: e.at, actor: e.actor };
    return (state) => applyWorkshop(state, { ...event, ...stamp });
  },
};

/** One log of this process: its state, and the edge of its tree. Follows the store, never leads it. */
export class LiveLog<State> {
  readonly id: string;
  readonly #kind: Kind<State>;
  #state: State;
  #frontier = new Frontier();
  #lastAt = '';
  #covered = 0;
  #note: string | null = null;

  constructor(id: string, kind: Kind<State>) {
    this.id = id;
    this.#kind = kind;
    this.#state = kind.empty;
  }

  get state(): State {
    return this.#state;
  }

  get size(): number {
    return this.#frontier.size;
  }

  get root(): Uint8Array {
    return this.#frontier.root();
  }

  /** Server time of the last event: a later one is never stamped before it. */
  get lastAt(): string {
    return this.#lastAt;
  }

  /** Size that the newest signed checkpoint covers. */
  get covered(): number {
    return this.#covered;
  }

  /** The newest signed checkpoint. */
  get note(): string | null {
    return this.#note;
  }

  /** Takes a checkpoint that is on disk. */
  cover(size: number, note: string): void {
    if (size < this.#covered) return;
    this.#covered = size;
    this.#note = note;
  }

  /** The edge as it would be with more events; LG-2: other work is let in while many are hashed. */
  async frontierWith(texts: readonly string[]): Promise<Frontier> {
    const edge = this.#frontier.copy();
    await eachInTurns(texts, ratingsInText, (text) => edge.append(leafHash(text)));
    return edge;
  }

  /** Takes events that are on disk. Those it has already are passed over; a hole is a fault of the store. */
  take(texts: readonly string[], from: number): void {
    const edge = this.#edge();
    for (const [i, text] of texts.entries()) inOneGo(this.#step(edge, text, from + i));
    this.#show(edge);
  }

  /**
   * The same for many events: they are worked in beside what is shown, and all of them show at once. LG-2: other work
   * is let in between, so a log of a large panel that is opened holds up nobody.
   */
  async takeInTurns(texts: readonly string[], from: number): Promise<void> {
    const before = this.size;
    const edge = this.#edge();
    let seq = from;
    await eachInTurns(texts, ratingsInText, (text) =>
      inStages(ratingsInText(text), this.#step(edge, text, seq++)),
    );
    if (this.size === before) this.#show(edge);
    // Somebody else was here meanwhile: what they took is passed over.
    else this.take(texts, from);
  }

  #edge(): Edge<State> {
    return { state: this.#state, frontier: this.#frontier.copy(), lastAt: this.#lastAt };
  }

  #show(edge: Edge<State>): void {
    this.#state = edge.state;
    this.#frontier = edge.frontier;
    this.#lastAt = edge.lastAt;
  }

  /** Works one event in. Its stages are told apart so that other work can be let in between those of a large one. */
  *#step(edge: Edge<State>, text: string, seq: number): Generator<void, void> {
    const { size } = edge.frontier;
    if (seq < size) return;
    if (seq > size) throw new Error(`log ${this.id} misses event ${String(size)}`);
    const value = parseCanonical(text);
    yield;
    const event = v.parse(envelope, value);
    if (event.seq !== seq || event.log !== this.id) {
      throw new Error(`event ${String(seq)} of log ${this.id} says it is another one`);
    }
    const change = this.#kind.read(event);
    yield;
    edge.state = change(edge.state);
    edge.frontier.append(leafHash(text));
    edge.lastAt = event.at;
  }
}

export type LiveEvaluation = LiveLog<EvaluationState>;
export type LivePanel = LiveLog<PanelState>;
export type LiveSystem = LiveLog<SystemState>;
export type LiveRegister = LiveLog<RegisterState>;
export type LiveWorkshop = LiveLog<WorkshopState>;
export type AnyLive = LiveEvaluation | LivePanel | LiveSystem | LiveRegister | LiveWorkshop;
