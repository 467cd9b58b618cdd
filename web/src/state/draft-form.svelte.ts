import { idsOf, planRename, putAt, valueAt, type RenamePlan } from '@unhindered/shared-types';
import { untrack } from 'svelte';
import { freshEntry, placeWords } from './draft-parts.ts';

/** Steps that can be taken back. */
const STEPS = 100;

const parsed = (text: string): Record<string, unknown> | null => {
  try {
    const value: unknown = JSON.parse(text);
    const isObject = typeof value === 'object' && value !== null && !Array.isArray(value);
    return isObject ? (value as Record<string, unknown>) : null;
  } catch {
    return null;
  }
};

/** The text of a draft and the value that a form works on, each following the other; every change is a step back. */
export abstract class DraftForm {
  text = $state('');
  /** The value of the text for the form; null while the text is no JSON object. */
  value = $state<Record<string, unknown> | null>(null);
  /** Something that was done for the person, in words. */
  notice = $state('');
  steps = $state.raw<readonly { text: string; what: string }[]>([]);
  #typedAt = '';

  /** Called after every change. */
  protected abstract changed(): void;

  get(path: string): unknown {
    return valueAt(this.value, path);
  }

  list(path: string): unknown[] {
    const found = this.get(path);
    return Array.isArray(found) ? (found as unknown[]) : [];
  }

  textAt(path: string): string {
    const found = this.get(path);
    return typeof found === 'string' ? found : '';
  }

  /** Changes one value of the form; a run of changes of one field is one step. */
  put(path: string, value: unknown): void {
    if (!this.value) return;
    if (this.#typedAt !== path) this.#step(placeWords(this.value, path));
    this.#typedAt = path;
    putAt(this.value, path, value);
    this.#written();
  }

  add(path: string): void {
    const items = this.get(path);
    if (!this.value || !Array.isArray(items)) return;
    const list = path.slice(path.lastIndexOf('/') + 1);
    this.#step(placeWords(this.value, path));
    const taken = new Set(idsOf(this.value).map(({ id }) => id));
    items.push(freshEntry(list, items.length, this.list('/scale/points').length, taken));
    this.#written();
  }

  move(path: string, from: number, to: number): void {
    const items = this.get(path);
    if (!this.value || !Array.isArray(items) || to < 0 || to >= items.length) return;
    this.#step(placeWords(this.value, `${path}/${String(from)}`));
    items.splice(to, 0, ...(items.splice(from, 1) as unknown[]));
    this.#written();
  }

  remove(path: string, at: number, say: (what: string) => string): void {
    const items = this.get(path);
    if (!this.value || !Array.isArray(items)) return;
    const what = placeWords(this.value, `${path}/${String(at)}`);
    this.#step(what);
    items.splice(at, 1);
    this.#written();
    this.notice = say(what);
  }

  /**
   * PR-12: renames the id at a place and everything that refers to it, as one step that can be taken back; says what
   * was done. A refused id changes nothing.
   */
  rename(path: string, to: string, say: (plan: RenamePlan & { ok: true }) => string): RenamePlan {
    const plan = planRename(this.value, path, to);
    if (!plan.ok || plan.places.length === 0) return plan;
    this.#step(placeWords(this.value, path));
    for (const place of plan.places) putAt(this.value, place, to);
    this.#written();
    this.notice = say(plan);
    return plan;
  }

  /** The whole text, as it is typed in the other view. */
  type(text: string): void {
    if (this.#typedAt !== 'text') this.#step('text');
    this.#typedAt = 'text';
    this.set(text);
    this.changed();
  }

  undo(say: (what: string) => string): void {
    const last = this.steps.at(-1);
    if (!last) return;
    this.steps = this.steps.slice(0, -1);
    this.#typedAt = '';
    this.set(last.text);
    this.changed();
    this.notice = say(last.what);
  }

  /** Shows a text, and its value for the form. */
  protected set(text: string): void {
    this.text = text;
    this.value = parsed(text);
  }

  #step(what: string): void {
    this.notice = '';
    this.steps = [...this.steps.slice(1 - STEPS), { text: this.text, what }];
    this.#typedAt = '';
  }

  #written(): void {
    this.text = untrack(() => `${JSON.stringify(this.value, null, 2)}\n`);
    this.changed();
  }

  /** Nothing before this can be taken back. */
  protected forget(): void {
    this.steps = [];
    this.#typedAt = '';
  }
}
