import {
  cleanText,
  heldRemarkKey,
  OFF_SCALE,
  seenLength,
  SHEET_ROOT,
  sheetKey,
  type Answer,
  type HeldRemark,
  type Rating,
  type SheetField,
} from '@unhindered/shared-types';
import { DocumentLink, type LinkStatus } from '../sync/document-link.ts';
import { randomId } from '../sync/random-id.ts';
import { WaitingTasks } from './waiting-tasks.ts';

type Values = ReadonlyMap<string, unknown>;

/** How long a device that has nothing of the sheet waits for the server before it is rated on all the same. */
const FIRST_SYNC_MS = 4000;

/** One task's answer as the sheet holds it. */
export interface SheetEntry {
  answer: number | Exclude<Answer, 'step'> | null;
  easier: boolean;
  reason: string;
  critical: string;
  note: string;
  at: string | null;
}

const text = (value: unknown): string => (typeof value === 'string' ? value : '');

/** Reads one task's entry from the plain values of a sheet. */
export const entryOf = (values: Values, task: string): SheetEntry => {
  const read = (field: SheetField): unknown => values.get(sheetKey(task, field));
  const answer = read('answer');
  const off = OFF_SCALE.find((o) => o === answer);
  return {
    answer: typeof answer === 'number' ? answer : (off ?? null),
    easier: read('easier') === true,
    reason: text(read('reason')),
    critical: text(read('critical')),
    note: text(read('note')),
    at: text(read('at')) || null,
  };
};

/** Whether an entry counts as answered: "does not apply" needs its reason. */
export const isAnswered = (entry: SheetEntry): boolean =>
  entry.answer !== null && (entry.answer !== 'not-applicable' || entry.reason.trim().length >= 3);

/** An entry in the form the record keeps it; undefined when it is not answered. */
export const ratingOf = (entry: SheetEntry): Rating | undefined => {
  if (!isAnswered(entry) || entry.answer === null) return undefined;
  const step = typeof entry.answer === 'number' ? entry.answer : null;
  return {
    answer: typeof entry.answer === 'number' ? 'step' : entry.answer,
    step,
    easier: entry.easier,
    reason: step === null ? entry.reason.trim() || null : null,
    critical: step === null ? null : entry.critical.trim() || null,
    note: entry.note.trim() || null,
    at: entry.at,
  };
};

/** A reviewer's own sheet of one round: reads and writes its document, and knows where it is kept. */
export class Sheet {
  readonly document: string;
  readonly round: number;
  values = $state.raw<Values>(new Map());
  status = $state.raw<LinkStatus>({ state: 'offline', savedAt: null, reason: null });
  /**
   * Whether what this seat rated elsewhere is known here, or cannot be had for now. A value typed before that would
   * stand beside an older one instead of after it, and might lose to it.
   */
  ready = $state(false);
  /** Tasks that were changed on this device and are not on the server's disk yet. */
  waiting = $state(0);
  readonly #link: DocumentLink;
  readonly #waiting: WaitingTasks;

  /** `told` is the sheet as the server had it when the page came, base64: then nobody waits for the socket. */
  constructor(evaluation: string, document: string, round: number, told?: string) {
    this.document = document;
    this.round = round;
    this.#waiting = new WaitingTasks(document);
    this.waiting = this.#waiting.count;
    this.#link = new DocumentLink(evaluation, document, (status) => {
      this.status = status;
      if (status.state === 'saved') {
        this.#waiting.clear();
        this.waiting = 0;
      }
      if (status.state !== 'offline' && status.state !== 'saving') this.ready = true;
    });
    const map = this.#link.doc.getMap(SHEET_ROOT);
    const read = (): void => {
      this.values = new Map(map.entries());
    };
    map.observe(read);
    read();
    if (told !== undefined) {
      this.#link.take(told);
      if (this.#link.fresh) this.ready = true;
    }
    void this.#link.ready.then(() => {
      if (map.size > 0 || told !== undefined) this.ready = true;
      else setTimeout(() => (this.ready = true), FIRST_SYNC_MS);
    });
  }

  entry(task: string): SheetEntry {
    return entryOf(this.values, task);
  }

  answered(task: string): boolean {
    return isAnswered(this.entry(task));
  }

  /** Sets the answer; what goes only with another answer is taken back: "easier" with any other than the `datum`. */
  answer(task: string, answer: SheetEntry['answer'], datum: number | null): void {
    const before = this.entry(task);
    this.#write(task, {
      answer,
      at: new Date().toISOString(),
      ...(before.easier && answer !== datum ? { easier: null } : {}),
      ...(before.critical !== '' && typeof answer !== 'number' ? { critical: null } : {}),
      ...(before.reason !== '' && typeof answer === 'number' ? { reason: null } : {}),
    });
  }

  easier(task: string, easier: boolean): void {
    this.#write(task, { easier: easier ? true : null });
  }

  /** Free texts; an empty one is taken back, a too short reason is kept back until it is long enough. */
  write(task: string, field: 'reason' | 'critical' | 'note', value: string): void {
    const clean = cleanText(value).trim();
    const least = field === 'note' ? 1 : 3;
    const seen = seenLength(clean);
    if (seen > 0 && seen < least) return;
    this.#write(task, { [field]: seen === 0 ? null : clean });
  }

  /** A remark that waits in this sheet until the round opens. */
  holdRemark(task: string | null, remark: string): void {
    const text = cleanText(remark).trim();
    if (seenLength(text) === 0) return;
    const held: HeldRemark = { task, text, at: new Date().toISOString() };
    this.#link.doc.getMap(SHEET_ROOT).set(heldRemarkKey(randomId('')), JSON.stringify(held));
  }

  /** Remarks that wait here, for one task. */
  held(task: string): string[] {
    return [...this.values].flatMap(([key, value]) => {
      if (!key.startsWith('remark/') || typeof value !== 'string') return [];
      const remark = JSON.parse(value) as HeldRemark;
      return remark.task === task ? [remark.text] : [];
    });
  }

  destroy(): void {
    this.#link.destroy();
  }

  #write(task: string, fields: Partial<Record<SheetField, unknown>>): void {
    this.#waiting.add(task);
    this.waiting = this.#waiting.count;
    const map = this.#link.doc.getMap(SHEET_ROOT);
    this.#link.doc.transact(() => {
      for (const [field, value] of Object.entries(fields)) {
        const key = sheetKey(task, field as SheetField);
        // An equal value is no edit: it would only grow the document.
        if ((map.get(key) ?? null) !== value) map.set(key, value);
      }
    });
  }
}
