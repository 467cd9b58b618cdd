import type { PracticeDraft } from './practice-draft.ts';
import type { SheetEntry } from './sheet.svelte.ts';

/** Where notes are kept. `set` tells whether it was done. */
interface Shelf {
  get: (key: string) => Promise<PracticeDraft | undefined>;
  set: (key: string, draft: PracticeDraft) => Promise<boolean>;
}

const place = (evaluation: string): string => `practice:${evaluation}`;

/** CP-5: what somebody answers in a practice; it counts as answered once this device has kept it. */
export class PracticeNotes {
  readonly #shelf: Shelf;
  #evaluation = '';
  /** As it stands on the screen. */
  draft = $state.raw<PracticeDraft>({});
  #kept = $state.raw<PracticeDraft>({});
  /** This browser keeps nothing: the page is all there is. */
  fleeting = $state(false);

  constructor(shelf: Shelf) {
    this.#shelf = shelf;
  }

  /** What is still there when the page is loaded anew; where nothing is ever kept, what the page holds. */
  get counted(): PracticeDraft {
    return this.fleeting ? this.draft : this.#kept;
  }

  async open(evaluation: string): Promise<void> {
    this.#evaluation = evaluation;
    const found = (await this.#shelf.get(place(evaluation))) ?? {};
    this.draft = found;
    this.#kept = found;
  }

  async write(task: string, entry: SheetEntry): Promise<void> {
    const draft = { ...this.draft, [task]: entry };
    this.draft = draft;
    if (await this.#shelf.set(place(this.#evaluation), draft)) this.#kept = draft;
    else this.fleeting = true;
  }

  /** The practice is over. */
  async clear(): Promise<void> {
    await this.#shelf.set(place(this.#evaluation), {});
  }
}
