import { protocolTasks, type EvaluationView, type Protocol } from '@unhindered/shared-types';

type View = Partial<EvaluationView>;

/** One line of the agenda. */
export interface AgendaTask {
  task: string;
  title: string;
  state: 'waiting' | 'sealed' | 'opened' | 'divergent' | 'settled';
  gateOwed: boolean;
}

export interface AgendaSection {
  id: string;
  letter: string;
  title: string;
  tasks: AgendaTask[];
}

/** The agenda: every task with where it stands. */
export const agendaOf = (protocol: Protocol, view: View): AgendaSection[] => {
  const sealed = new Set(view.head?.stage === 'sealed' ? view.head.round?.tasks : []);
  return protocol.sections.map((s) => ({
    id: s.id,
    letter: s.letter,
    title: s.title,
    tasks: s.tasks.map((t) => {
      const slice = view.tasks?.[t.id];
      const opened = slice?.settled ? 'settled' : slice?.flags.length ? 'divergent' : 'opened';
      const state = sealed.has(t.id) ? 'sealed' : slice ? opened : 'waiting';
      return { task: t.id, title: t.title, state, gateOwed: slice?.gate?.owed ?? false };
    }),
  }));
};

/** Reviewers of the running round who said finished, and who did not. */
export const finishedOf = (view: View): { finished: number; of: number; missing: string[] } => {
  const reviewers = (view.seats ?? []).filter((s) => s.role === 'reviewer');
  const missing = reviewers.filter((s) => s.finished !== true).map((s) => s.letter ?? '?');
  return { finished: reviewers.length - missing.length, of: reviewers.length, missing };
};

/** Opened tasks without flag and settlement that have a median: the ones adopting all would settle. */
export const undisputed = (view: View): string[] =>
  Object.values(view.tasks ?? {})
    .filter((t) => t.flags.length === 0 && !t.settled && 'value' in t.median)
    .map((t) => t.task);

/** The median on show as a command names it. */
export const seenValue = (median: number | null): string | null =>
  median === null ? null : String(median);

/** A task whose moderator is writing a reason, and what for. */
export interface AskedReason {
  task: string;
  how: 'decide' | 'leave-open' | 'reopen';
  median: number | null;
}

/** The moderator's own working state: which task is in the centre, and which go into the second round. */
export class DeskState {
  task = $state('');
  /** What a reason is being written for; it stays whatever another moderator does meanwhile. */
  asking = $state.raw<AskedReason | null>(null);
  /** Tasks chosen for the next round. */
  again = $state<string[]>([]);
  /** The open button was pressed once although somebody is not finished. */
  openAsked = $state(false);
  keys = $state(localStorage.getItem('desk-keys') !== 'off');

  /** The task in the centre: the chosen one, else the first of the queue, else the first of the protocol. */
  current(protocol: Protocol, view: View): string {
    if (this.task !== '') return this.task;
    return view.queue?.[0] ?? view.head?.present ?? protocolTasks(protocol)[0]?.id ?? '';
  }

  /** DK-1: what stands in the centre stays there until this moderator goes on, whatever another one settles meanwhile. */
  hold(task: string): void {
    if (task !== '') this.task = task;
  }

  /** What was chosen and can still be rated again: not what was settled meanwhile. */
  againOf(view: View): string[] {
    return this.again.filter((t) => view.tasks?.[t]?.settled == null);
  }

  /** Moves by one task through the queue while there is one, else through the protocol. */
  step(protocol: Protocol, view: View, by: 1 | -1): void {
    const all = protocolTasks(protocol).map((t) => t.id);
    const order = view.queue && view.queue.length > 0 ? view.queue : all;
    const at = order.indexOf(this.current(protocol, view));
    this.task = order[Math.min(order.length - 1, Math.max(0, at + by))] ?? this.task;
  }

  toggleAgain(task: string): void {
    this.again = this.again.includes(task)
      ? this.again.filter((t) => t !== task)
      : [...this.again, task];
  }

  switchKeys(): void {
    this.keys = !this.keys;
    localStorage.setItem('desk-keys', this.keys ? 'on' : 'off');
  }
}

/** Where letters are typed or chosen by letters; a tick or a radio button takes none. */
const TYPED = 'input:not([type="checkbox"], [type="radio"]), textarea, select, dialog';

/** DK-4: calls the act of a key unless the person is typing; one sign, no modifier. */
export const onDeskKey = (event: KeyboardEvent, acts: Record<string, () => void>): void => {
  const target = event.target as HTMLElement | null;
  const typing = target?.closest(TYPED) !== null;
  if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
  const act = acts[event.key.toLowerCase()];
  if (!act) return;
  event.preventDefault();
  act();
};
