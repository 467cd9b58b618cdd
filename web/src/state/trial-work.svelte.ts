import { protocolTasks, type Protocol, type TrialEntry } from '@unhindered/shared-types';
import { words as safetyWords } from '../words/safety.ts';
import { words } from '../words/trials.ts';
import type { Bench } from './bench.svelte.ts';
import { keepSetup, readSetup } from './bench-setup.ts';
import { secondsText, Stopwatch } from './stopwatch.svelte.ts';
import {
  checkDraft,
  draftOf,
  emptyDraft,
  spoiltRun,
  type DraftCheck,
  type TrialDraft,
  type TrialSetup,
} from './trial-draft.ts';
import type { TrialRow } from './trial-rows.ts';

const NOTES = safetyWords.safety.halted;

/** The trial that is under way on this device: what it is of, its run, and what is typed of it. */
export class TrialWork {
  setup = $state.raw<TrialSetup | null>(null);
  draft = $state.raw<TrialDraft>(emptyDraft());
  tried = $state(false);
  typing = $state(false);
  correcting = $state.raw<TrialRow | null>(null);
  /** What a reason is being asked for: a trial of the list, or the run itself. */
  voiding = $state.raw<TrialRow | 'run' | null>(null);
  readonly watch: Stopwatch;
  readonly #evaluation: string;
  #protocol = $state.raw<Protocol | null>(null);
  /** A run that everyone stop ended is void, unless somebody says that it was over by then. */
  #enters = $state(false);

  constructor(evaluation: string) {
    this.#evaluation = evaluation;
    this.watch = new Stopwatch(evaluation);
    if (this.watch.stopped) this.draft = this.#drafted();
  }

  /** The protocol is there: what was being tried before a reload goes on. */
  open(protocol: Protocol): void {
    this.#protocol = protocol;
    this.setup ??= readSetup(this.#evaluation, protocol);
  }

  /** Somebody is named who performs. */
  get ready(): boolean {
    return /^[A-Z0-9][A-Z0-9-]{0,11}$/u.test(this.setup?.operator ?? '');
  }

  /** Everyone stop ended the run, and nobody has said yet what becomes of it. */
  get halted(): boolean {
    return this.watch.stopped && this.watch.halted && !this.#enters;
  }

  get formOpen(): boolean {
    return (this.watch.stopped && !this.halted) || this.typing || this.correcting !== null;
  }

  get #splits(): TrialEntry['splits'] {
    return this.watch.splits.map((ms, i) => ({
      label: words.trials.splitLabel(i + 1),
      seconds: secondsText(ms),
    }));
  }

  /** What is typed, held against the protocol. */
  get check(): DraftCheck | null {
    if (!this.#protocol || !this.setup) return null;
    return checkDraft(this.draft, this.setup, this.#protocol, {
      splits: this.correcting ? this.correcting.entry.splits : this.#splits,
      at: new Date().toISOString(),
      replaces: this.correcting?.key ?? null,
    });
  }

  change(by: Partial<TrialSetup>): void {
    if (!this.setup || !this.#protocol) return;
    const tasks = protocolTasks(this.#protocol);
    const state = by.task === undefined ? undefined : tasks.find((t) => t.id === by.task)?.state;
    this.setup = { ...this.setup, ...by, ...(state === undefined ? {} : { state }) };
    keepSetup(this.#evaluation, this.setup);
  }

  reset(): void {
    this.draft = emptyDraft();
    this.tried = false;
    this.typing = false;
    this.#enters = false;
    this.correcting = null;
  }

  clear(): void {
    this.watch.clear();
    this.reset();
  }

  stop(): void {
    this.watch.stop();
    this.draft = this.#drafted();
    this.tried = false;
  }

  /** Everyone stops: a run under way ends and is marked; what is being typed stays. */
  halt(): void {
    if (!this.watch.running) return;
    this.watch.halt();
    this.#enters = false;
    this.draft = this.#drafted();
    this.tried = false;
  }

  /** The run was over before everyone stop: it is entered by hand, with a note that says what happened. */
  enterHalted(): void {
    this.#enters = true;
  }

  enter(bench: Bench | null): void {
    this.tried = true;
    const entry = this.check?.entry;
    if (!bench || !this.ready || !entry) return;
    bench.enter({ ...entry, at: new Date().toISOString() });
    if (this.correcting) this.reset();
    else this.clear();
  }

  correct(row: TrialRow): void {
    if (!this.#protocol) return;
    const { task, state, condition, operator, model } = row.entry;
    this.setup = { task, state, condition, operator, model };
    this.draft = draftOf(row.entry, this.#protocol);
    this.correcting = row;
    this.tried = false;
  }

  /** Voids what was asked about: a trial of the list, or the run, which goes on record with its time. */
  spoil(bench: Bench | null, reason: string): void {
    const { voiding } = this;
    this.voiding = null;
    if (voiding === 'run' && this.setup && this.ready) {
      this.watch.stop();
      const seconds = secondsText(this.watch.elapsed);
      const at = new Date().toISOString();
      bench?.enterVoid(spoiltRun(this.setup, { seconds, splits: this.#splits, at }), reason);
      this.clear();
    } else if (voiding !== null && voiding !== 'run') {
      bench?.void(voiding.key, voiding.entry.task, reason);
    }
  }

  destroy(): void {
    this.watch.destroy();
  }

  #drafted(): TrialDraft {
    const note = this.watch.halted ? NOTES.note : '';
    return { ...emptyDraft(), time: secondsText(this.watch.elapsed), note };
  }
}
