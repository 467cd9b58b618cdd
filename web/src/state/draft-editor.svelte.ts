import type {
  CommandAnswer,
  CommandMessage,
  DraftAnswer,
  DraftCheck,
  Outcome,
  ProtocolFault,
  Rejection,
  WorkshopCommand,
} from '@unhindered/shared-types';
import { DraftForm } from './draft-form.svelte.ts';

/** What an editor asks of the server and of this device. */
export interface DraftDoors {
  load: (draft: string) => Promise<Outcome<DraftAnswer>>;
  check: (draft: string) => Promise<Outcome<DraftCheck>>;
  message: (command: WorkshopCommand) => CommandMessage;
  send: (message: CommandMessage) => Promise<Outcome<Extract<CommandAnswer, { ok: true }>>>;
  kept: (draft: string) => Promise<Unsent | undefined>;
  keep: (draft: string, unsent: Unsent | null) => Promise<unknown>;
  /** Runs something later; returns how to call it off. */
  later: (ms: number, work: () => void) => () => void;
}

/** What this device has not brought to the server yet. */
export interface Unsent {
  revision: number;
  text: string;
}

/** Where the text is. */
export type SaveState =
  'clean' | 'waiting' | 'saving' | 'offline' | 'refused' | 'conflict' | 'gone';

/** After the last key. */
const PAUSE_MS = 900;
const RETRY_MS = 4000;
/**
 * One draft in one browser: its text, the value the form works on, what is saved, and the faults of what was saved.
 * Nothing of somebody else's is written over, and nothing typed here is lost: it stays on the device until it is kept.
 */
export class DraftEditor extends DraftForm {
  readonly draft: string;
  readonly #doors: DraftDoors;
  info = $state.raw<DraftAnswer | null>(null);
  refusal = $state.raw<Rejection | null>(null);
  state = $state<SaveState>('clean');
  /** When this browser last saved; null before. */
  savedAt = $state<string | null>(null);
  revision = $state(0);
  faults = $state.raw<readonly ProtocolFault[]>([]);
  more = $state(0);
  /** What was checked is not what stands here. */
  unchecked = $state(true);
  /** Why the last save was refused: somebody else's change, or the server's words. */
  why = $state.raw<Rejection | null>(null);
  #callOff: (() => void) | null = null;
  #pending: { message: CommandMessage; text: string } | null = null;
  #busy = false;
  #closed = false;

  constructor(draft: string, doors: DraftDoors) {
    super();
    this.draft = draft;
    this.#doors = doors;
  }

  get unsaved(): boolean {
    return this.state !== 'clean';
  }

  /** Loads what the server has, and puts back what this device had not sent. */
  async open(restored: string): Promise<void> {
    const answer = await this.#doors.load(this.draft);
    if (!answer.ok) {
      this.refusal = answer.rejection;
      return;
    }
    const kept = await this.#doors.kept(this.draft);
    this.#show(answer.value);
    if (!kept || kept.text === answer.value.text) return;
    this.set(kept.text);
    if (kept.revision === this.revision) {
      this.notice = restored;
      this.changed();
      return;
    }
    const { savedBy: by, savedAt: at, revision } = answer.value;
    this.state = 'conflict';
    const message = `${by} saved this draft while this device was away.`;
    this.why = { code: 'draft-changed', message, detail: { by, at, revision } };
  }

  /** Looks whether somebody else changed the draft; shows theirs when nothing here is unsaved. */
  async look(say: (by: string, at: string) => string): Promise<void> {
    if (this.state !== 'clean' || this.#busy) return;
    const seen = await this.#doors.check(this.draft);
    if (!seen.ok || seen.value.revision === this.revision || this.unsaved) return;
    const answer = await this.#doors.load(this.draft);
    if (!answer.ok || this.unsaved) return;
    this.#show(answer.value);
    this.notice = say(answer.value.savedBy, answer.value.savedAt);
  }

  faultsAt(path: string): ProtocolFault[] {
    return this.faults.filter((f) => f.path === path);
  }

  /** Saves what stands here, at once. */
  async save(): Promise<void> {
    this.#callOff?.();
    this.#callOff = null;
    if (this.#busy || this.state === 'conflict' || this.state === 'gone') return;
    this.#busy = true;
    this.state = 'saving';
    // An answer that was lost is asked for again, with the same text under the same id.
    this.#pending ??= this.#make();
    const { message, text } = this.#pending;
    const answer = await this.#doors.send(message);
    this.#busy = false;
    if (answer.ok) await this.#saved(text, answer.value);
    else this.#notSaved(answer.rejection);
  }

  /** Gives up what stands here for what the server has. */
  async takeTheirs(): Promise<void> {
    const answer = await this.#doors.load(this.draft);
    if (!answer.ok) {
      this.refusal = answer.rejection;
      return;
    }
    await this.#doors.keep(this.draft, null);
    this.#show(answer.value);
  }

  /** Saves what stands here over a change of somebody else, which was seen. */
  async putOver(): Promise<void> {
    const seen = await this.#doors.check(this.draft);
    if (!seen.ok) {
      this.#notSaved(seen.rejection);
      return;
    }
    this.revision = seen.value.revision;
    this.state = 'waiting';
    this.why = null;
    await this.save();
  }

  close(): void {
    this.#closed = true;
    if (this.#callOff && this.state === 'waiting') void this.save();
    this.#callOff?.();
  }

  #make(): { message: CommandMessage; text: string } {
    const { draft, revision, text } = this;
    return { message: this.#doors.message({ type: 'save-draft', draft, revision, text }), text };
  }

  async #saved(text: string, answer: Extract<CommandAnswer, { ok: true }>): Promise<void> {
    this.#pending = null;
    if (answer.result?.kind === 'draft') this.revision = answer.result.revision;
    this.savedAt = new Date().toISOString();
    this.why = null;
    if (this.text !== text) {
      this.changed();
      return;
    }
    this.state = 'clean';
    await this.#doors.keep(this.draft, null);
    await this.#look();
  }

  async #look(): Promise<void> {
    const seen = await this.#doors.check(this.draft);
    if (!seen.ok || seen.value.revision !== this.revision) return;
    this.faults = seen.value.faults;
    this.more = seen.value.more;
    this.unchecked = this.unsaved;
  }

  #notSaved(rejection: Rejection): void {
    const { code } = rejection;
    if (code === 'try-again' || code === 'read-only') {
      this.state = 'offline';
      if (!this.#closed) this.#callOff = this.#doors.later(RETRY_MS, () => void this.save());
      return;
    }
    this.#pending = null;
    this.why = rejection;
    if (code === 'draft-changed') this.state = 'conflict';
    else if (code === 'unknown-thing') this.state = 'gone';
    else this.state = 'refused';
  }

  #show(answer: DraftAnswer): void {
    this.info = answer;
    this.revision = answer.revision;
    this.#pending = null;
    this.set(answer.text);
    this.faults = answer.faults;
    this.more = answer.more;
    this.unchecked = false;
    this.state = 'clean';
    this.why = null;
    this.forget();
    this.savedAt = null;
  }

  /** Something was changed here: it is kept on this device, and saved after a pause. */
  protected override changed(): void {
    const { draft, revision, text } = this;
    void this.#doors.keep(draft, { revision, text });
    this.unchecked = true;
    if (this.state === 'conflict' || this.state === 'gone') return;
    this.state = 'waiting';
    this.#callOff?.();
    this.#callOff = this.#doors.later(PAUSE_MS, () => void this.save());
  }
}
