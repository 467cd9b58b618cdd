import { done, type SystemEvent, type SystemNote } from '@unhindered/shared-types';
import { openSuccession } from '../audit/key-chain.ts';
import { parseCanonical } from '../audit/canonical-json.ts';
import type { Store } from '../ports/store.ts';
import type { App } from './app.ts';
import { makeChange, type ChangeApp } from './change.ts';
import type { LiveSystem } from './live-log.ts';

/** A clock at the start that is that much before the last thing on record was set back. */
const BACK_MS = 5000;

const SYSTEM = { clientAt: null, actor: 'system', role: 'system', device: null, cmd: null };

/** The log of this workspace's server, or a fresh one with `newId`. */
export const systemLogOf = async (
  app: Pick<App, 'store' | 'logs'>,
  newId: () => string,
): Promise<LiveSystem> => {
  const known = (await app.store.logs()).find(({ log }) => log.startsWith('sy_'));
  return app.logs.system(known?.log ?? newId());
};

/** Nothing but a withdrawal or a correction comes after a lock. */
const OVER = ['evaluation-locked', 'evaluation-withdrawn', 'evaluation-superseded'];

const isOver = (text: string | undefined): boolean => {
  const event = parseCanonical(text ?? 'null') as { type?: string } | null;
  return OVER.includes(event?.type ?? '');
};

/** Evaluations that are under way, by the last event of each log: none of the others is loaded for it. */
const underWay = async (store: Store): Promise<string[]> => {
  const open: string[] = [];
  for (const { log, size } of await store.logs()) {
    if (!log.startsWith('ev_')) continue;
    const [last] = await store.events(log, size - 1);
    if (!isOver(last)) open.push(log);
  }
  return open;
};

const isNote = (event: SystemEvent): event is SystemNote =>
  ['server-started', 'clock-jumped', 'store-restored'].includes(event.type);

/**
 * AU-7: what happens to the server is on record: in a log of its own, and what can touch a result also in the log of
 * every evaluation that was under way, so that a bundle holds what concerns it.
 */
export const record = async (
  app: ChangeApp,
  system: LiveSystem,
  events: readonly SystemEvent[],
): Promise<void> => {
  const notes = events.filter(isNote);
  const evaluations = notes.length > 0 ? await underWay(app.store) : [];
  const outcome = await makeChange(app, [system.id, ...evaluations], SYSTEM, async () => {
    const live = await Promise.all(evaluations.map((id) => app.logs.evaluation(id)));
    // A log that cannot be believed is not written on; one that was locked meanwhile takes nothing more.
    const open = live.filter(
      (l) => l && l.state.stage !== 'locked' && l.state.stage !== 'withdrawn',
    );
    const mirrored = open.flatMap((l) => (l ? [{ log: l.id, events: notes }] : []));
    return done({ events: [{ log: system.id, events }, ...mirrored], value: null });
  });
  if (!outcome.ok) throw new Error(`not on record: ${outcome.rejection.message}`);
};

const instant = (ms: number): string => new Date(ms).toISOString();

/** Keys that took over since the last one on record. */
const rotations = (app: ChangeApp, system: LiveSystem): SystemEvent[] => {
  const opened = (app.signer.successions ?? []).flatMap((note) => {
    const keys = openSuccession(note);
    return keys ? [{ before: keys.before, now: keys.next, note }] : [];
  });
  const known = opened.findIndex(({ now }) => now === system.state.key);
  return opened.slice(known + 1).map((data) => ({ type: 'key-rotated', data }));
};

/** Puts the start of a server on record: the program, how the one before ended, and a clock that went back. */
export const recordStart = async (
  app: ChangeApp & Pick<App, 'software'>,
  system: LiveSystem,
): Promise<void> => {
  const { software: before, running } = system.state;
  const events: SystemEvent[] = [
    { type: 'server-started', data: { software: app.software, before, unclean: running } },
  ];
  const shown = app.timers.now();
  const last = system.size > 0 ? Date.parse(system.lastAt) : shown;
  if (shown < last - BACK_MS) {
    const data = { ms: shown - last, expected: system.lastAt, shown: instant(shown) };
    events.push({ type: 'clock-jumped', data: { ...data, running: false } });
  }
  await record(app, system, [...events, ...rotations(app, system)]);
};

/** Looks at the clock; puts a jump on record and returns by how much, milliseconds, or 0. */
export const recordJump = async (app: App, system: LiveSystem): Promise<number> => {
  const jump = app.clock.look();
  if (!jump) return 0;
  const { ms, expected, shown } = jump;
  const data = { ms, expected: instant(expected), shown: instant(shown), running: true };
  await record(app, system, [{ type: 'clock-jumped', data }]);
  return ms;
};
