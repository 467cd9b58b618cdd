import {
  BOARD_ENTRIES,
  boardKey,
  cleanText,
  GENERAL_NOTE,
  noteRoot,
  seenLength,
  textChange,
  type BoardEntry,
} from '@unhindered/shared-types';
import type * as Y from 'yjs';
import { DocumentLink, type LinkStatus } from '../sync/document-link.ts';
import { randomId } from '../sync/random-id.ts';

/** The panel's board: remarks under the author's seat, and a shared note for each task. */
export class Board {
  status = $state.raw<LinkStatus>({ state: 'offline', savedAt: null, reason: null });
  readonly #link: DocumentLink;
  readonly #seat: string;
  readonly #notes = new Map<string, { text: Y.Text; value: string }>();
  /** Counts changes of notes: reading it makes a screen follow them. */
  #version = $state(0);

  constructor(evaluation: string, document: string, seat: string) {
    this.#seat = seat;
    this.#link = new DocumentLink(evaluation, document, (status) => {
      this.status = status;
    });
  }

  /** Posts a remark; a correction names the one it replaces. */
  post(task: string | null, remark: string, replaces: string | null = null): void {
    const text = cleanText(remark).trim();
    if (seenLength(text) === 0) return;
    const entry: BoardEntry = {
      kind: 'remark',
      task,
      text,
      at: new Date().toISOString(),
      replaces,
    };
    const key = boardKey(this.#seat, randomId(''));
    this.#link.doc.getMap(BOARD_ENTRIES).set(key, JSON.stringify(entry));
  }

  /** The shared note of a task, as everybody types it. */
  note(task: string = GENERAL_NOTE): string {
    return this.#version >= 0 ? this.#observed(task).value : '';
  }

  /** Takes a note as it stands in a text field; only what differs is edited. */
  edit(task: string, value: string): void {
    const { text } = this.#observed(task);
    const change = textChange(text.toJSON(), value);
    if (!change) return;
    this.#link.doc.transact(() => {
      if (change.remove > 0) text.delete(change.at, change.remove);
      if (change.insert !== '') text.insert(change.at, change.insert);
    });
  }

  destroy(): void {
    this.#link.destroy();
  }

  #observed(task: string): { text: Y.Text; value: string } {
    const known = this.#notes.get(task);
    if (known) return known;
    const text = this.#link.doc.getText(noteRoot(task));
    const note = { text, value: text.toJSON() };
    text.observe(() => {
      note.value = text.toJSON();
      this.#version++;
    });
    this.#notes.set(task, note);
    return note;
  }
}
