import {
  mergeSlices,
  type CommandAnswer,
  type EvaluationCommand,
  type EvaluationView,
  type HomeView,
  type PanelCommand,
  type PanelView,
  type Rejection,
  type SlicesMessage,
  type WatchAnswer,
  type WorkspaceCommand,
} from '@unhindered/shared-types';
import { untrack } from 'svelte';
import { localStore } from '../sync/local-store.ts';
import type { CommandAsk, PanelSocket, PanelSocketEvents } from '../sync/panel-socket.ts';
import { unsent } from '../sync/unsent.ts';
import { leavingWords as words } from '../words/en/leaving.ts';
import { afterPaint } from './after-paint.ts';
import { KnownStops } from './known-stops.ts';
import { WitnessState } from './witness.svelte.ts';

const AGAIN_MS = 2000;

/** The socket's code comes after what a first rating needs; on a bad line it is asked for until it is there. */
const openSocket = async (events: PanelSocketEvents): Promise<PanelSocket> => {
  for (;;) {
    const code = await import('../sync/panel-socket.ts').catch(() => undefined);
    if (code) return new code.PanelSocket(events);
    events.connected(false);
    await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
  }
};

/** Everything this browser is told over the panel's socket, and the way to send commands. */
export class Connection {
  connected = $state(false);
  /** There is no link: it was lost, or could not be made. False while the first one is on its way. */
  cut = $state(false);
  ended = $state<string | null>(null);
  home = $state.raw<HomeView | null>(null);
  panel = $state.raw<PanelView | null>(null);
  evaluation = $state.raw<Partial<EvaluationView>>({});
  /** Panels that this device follows on every screen, by id. */
  panels = $state.raw<Readonly<Record<string, PanelView>>>({});
  /** How often everyone stop was pressed or heard here since the page was loaded. */
  halts = $state(0);
  /** The last refusal, until the next command; screens show it in their status line. */
  refusal = $state.raw<Rejection | null>(null);
  /** Why the watched thing cannot be shown. */
  barred = $state.raw<Rejection | null>(null);
  /** This device as a witness of the logs it looks at. */
  readonly witness = new WitnessState(
    (message) => void this.#socket.then((s) => s.report(message)),
  );
  readonly #socket: Promise<PanelSocket>;
  readonly #followed = new Set<string>();
  readonly #stops = new KnownStops();
  #of = '';
  #keeping = false;

  constructor() {
    this.#socket = openSocket({
      connected: (connected) => {
        this.connected = connected;
        this.cut = !connected;
      },
      slices: (message, whole) => this.#take(message, whole),
      checkpoint: ({ of, ...witness }) => void this.witness.take(of, witness),
      seen: (evaluation) => this.witness.seen(evaluation),
      ended: ({ why }) => {
        this.ended = why;
      },
    });
  }

  /** Signs out, asked once more when something did not reach the server; false when the person stays. */
  async leave(signOut: () => Promise<boolean>): Promise<boolean> {
    const things = unsent.count();
    if (things > 0 && !confirm(words.unsent(things))) return false;
    if (await signOut()) {
      this.close();
      return true;
    }
    alert(words.noAnswer);
    return false;
  }

  /** What is known of an evaluation; nothing while another one is looked at. */
  viewOf(evaluation: string): Partial<EvaluationView> {
    return this.evaluation.head?.evaluation === evaluation ? this.evaluation : {};
  }

  async watchHome(): Promise<void> {
    this.#of = 'home';
    this.barred = null;
    await (await this.#socket).watch('home', { on: 'home' });
  }

  async watchPanel(panel: string): Promise<void> {
    this.#of = panel;
    this.#heard(panel, await (await this.#socket).watch(panel, { on: 'panel', panel }));
  }

  /** Watches an evaluation; `told`, or what this device kept of it, is shown until the socket answers. */
  async watchEvaluation(evaluation: string, told?: Partial<EvaluationView>): Promise<void> {
    this.#of = evaluation;
    // An effect that starts a watch must not depend on what the watch brings, or every push starts it again.
    if (untrack(() => this.evaluation.head?.evaluation) !== evaluation) {
      this.evaluation = told ?? (await localStore.get(`view:${evaluation}`)) ?? {};
    }
    const socket = await this.#socket;
    if (this.#of !== evaluation) return;
    this.#heard(evaluation, await socket.watch(evaluation, { on: 'evaluation', evaluation }));
  }

  /** Hears of a panel whatever screen is shown: a stop must reach this device wherever it is. */
  async followPanel(panel: string): Promise<void> {
    if (this.#followed.has(panel)) return;
    this.#followed.add(panel);
    const answer = await (await this.#socket).watch(panel, { on: 'panel', panel });
    if (!answer.ok) this.#followed.delete(panel);
  }

  /** Stops this device's own clocks at once, whether or not there is a link, then tells everybody. */
  stopEveryone(panel: string, reason: string | null): Promise<CommandAnswer> {
    this.halts++;
    return this.onPanel(panel, { type: 'stop-everyone', reason });
  }

  onWorkspace(command: WorkspaceCommand): Promise<CommandAnswer> {
    return this.#command({ on: 'workspace', command });
  }

  onPanel(panel: string, command: PanelCommand): Promise<CommandAnswer> {
    return this.#command({ on: 'panel', panel, command });
  }

  onEvaluation(command: EvaluationCommand): Promise<CommandAnswer> {
    const evaluation = this.evaluation.head?.evaluation ?? this.#of;
    return this.#command({ on: 'evaluation', evaluation, command });
  }

  close(): void {
    void this.#socket.then((s) => s.close());
  }

  /** The answer to a watch counts only while its screen is the one shown. */
  #heard(of: string, answer: WatchAnswer): void {
    if (this.#of !== of) return;
    this.barred = answer.ok || answer.rejection.code === 'try-again' ? null : answer.rejection;
  }

  async #command(ask: CommandAsk): Promise<CommandAnswer> {
    this.refusal = null;
    const result = await (await this.#socket).command(ask);
    if (!result.ok) this.refusal = result.rejection;
    return result;
  }

  #take({ of, slices }: SlicesMessage, whole: boolean): void {
    if (of === 'home') this.home = slices['view'] as HomeView;
    else if (of.startsWith('pn_')) this.#takePanel(of, slices['view'] as PanelView | undefined);
    else if (of === this.#of) {
      // What the answer to a watch does not hold is gone: a slice of before must not outlive a restored backup.
      const base = !whole && this.evaluation.head?.evaluation === of ? this.evaluation : {};
      this.evaluation = mergeSlices(base, slices);
      if (!this.#keeping) afterPaint(() => this.#keep());
      this.#keeping = true;
    }
  }

  /** What changed is painted before it is kept, and kept once however many parts of it came. */
  #keep(): void {
    this.#keeping = false;
    const { head, me, seats, tasks, trials, evidence, safety } = this.evaluation;
    if (!head || this.ended !== null) return;
    const kept = { head, me, seats, tasks, trials, evidence, safety };
    void localStore.set(`view:${head.evaluation}`, kept);
  }

  #takePanel(of: string, view: PanelView | undefined): void {
    if (!view) return;
    this.panels = { ...this.panels, [of]: view };
    if (of === this.#of || this.panel?.panel === of) this.panel = view;
    if (view.stop && this.#stops.isNew(of, view.stop.at)) this.halts++;
  }
}
