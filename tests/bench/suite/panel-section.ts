import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { adoptUndisputed } from '../../../server/src/rehearse/adopt-undisputed.ts';
import { SeatClient } from '../../../server/src/rehearse/seat-client.ts';
import { startOurs } from './contestants.ts';
import { Ear } from './ear.ts';
import { timesOf, type Times } from './numbers.ts';
import type { Goal, Row, Section } from './report.ts';
import { buildWorld, type WorldPanel } from './world.ts';

export interface PanelPlan {
  /** Reviewers of the panels, and how many of its evaluations are opened. */
  sizes: readonly number[];
  openings: number;
  commands: number;
}

const figures = ({ p50, p95, p99, max }: Times): Row['figures'] => ({ p50, p95, p99, max });

/** A socket may send 30 messages a second. */
const BETWEEN = 40;

/** Everybody of a panel: the moderator with a view of it, the others as devices that parse nothing (Ear). */
interface Room {
  moderator: SeatClient;
  ears: readonly Ear[];
}

interface Shown {
  commands: number[];
  opened: number[];
  locked: number[];
}

/** How long after `start` each device has the last of what shows a stage; for the moderator, until it is read too. */
const until = (stage: string, { moderator, ears }: Room, start: number): Promise<number>[] => [
  moderator
    .until(stage, (v) => v.head?.stage === stage && (stage === 'locked' || v.tasks !== undefined))
    .then(() => performance.now() - start),
  ...ears.map(async (ear) => (await ear.hear('42["slices"', `"stage":"${stage}"`)) - start),
];

/** Opens, settles and locks one evaluation in front of everybody; how long until each device has it. */
const playOne = async (
  evaluation: string,
  room: Room,
  tasks: readonly string[],
  shown: Shown,
): Promise<void> => {
  const { moderator, ears } = room;
  for (const client of [moderator, ...ears]) await client.watch(evaluation);
  await pause(400);
  const opening = performance.now();
  const opened = until('opened', room, opening);
  await moderator.onEvaluation({ type: 'open-round', withMissing: true });
  shown.opened.push(...(await Promise.all(opened)));
  await adoptUndisputed(moderator);
  await pause(300);
  for (const task of tasks) {
    if (moderator.view.tasks?.[task]?.settled != null) continue;
    const reason = 'Invented: nobody talked about it.';
    await moderator.onEvaluation({
      type: 'settle-task',
      task,
      how: 'leave-open',
      value: null,
      reason,
    });
    await pause(BETWEEN);
  }
  const locking = performance.now();
  const locked = until('locked', room, locking);
  await moderator.onEvaluation({ type: 'lock', meaning: 'Invented.' });
  shown.locked.push(...(await Promise.all(locked)));
};

const commandsOf = async (
  moderator: SeatClient,
  tasks: readonly string[],
  count: number,
): Promise<number[]> => {
  const times: number[] = [];
  for (let i = 0; i < count; i++) {
    const start = performance.now();
    await moderator.onEvaluation({ type: 'present-task', task: tasks[i % tasks.length] ?? null });
    times.push(performance.now() - start);
    await pause(BETWEEN);
  }
  return times;
};

const onePanel = async (
  url: string,
  panel: WorldPanel,
  tasks: readonly string[],
  plan: PanelPlan,
): Promise<Shown> => {
  const moderator = new SeatClient(url, panel.moderator);
  const ears = await Promise.all(panel.seats.map((s) => Ear.open(url, s.cookies[0] ?? '')));
  const room = { moderator, ears };
  const shown: Shown = { commands: [], opened: [], locked: [] };
  try {
    const [first, ...rest] = panel.sealed;
    if (!first) throw new Error('the panel has no evaluation');
    for (const client of [moderator, ...ears]) await client.watch(first.id);
    // The program has run nothing yet: the first of all is not counted.
    await commandsOf(moderator, tasks, 10);
    shown.commands.push(...(await commandsOf(moderator, tasks, plan.commands)));
    await playOne(first.id, room, tasks, { commands: [], opened: [], locked: [] });
    for (const { id } of rest) await playOne(id, room, tasks, shown);
    return shown;
  } finally {
    for (const client of [moderator, ...ears]) client.close();
  }
};

/** Commands, openings and locks as they reach every device of a panel. */
export const panelSection = async (
  plan: PanelPlan,
): Promise<{ section: Section; goals: Goal[] }> => {
  const rows: Row[] = [];
  const goals: Goal[] = [];
  for (const size of plan.sizes) {
    const directory = mkdtempSync(join(tmpdir(), 'unhindered-bench-'));
    const sealed = plan.openings + 1;
    const world = await buildWorld(directory, {
      panels: 1,
      sealed,
      reviewers: size,
      prefilled: 30,
    });
    const server = await startOurs(directory);
    try {
      const [panel] = world.panels;
      if (!panel) throw new Error('there is no panel');
      const { commands, opened, locked } = await onePanel(server.url, panel, world.tasks, plan);
      const who = `${String(size)} reviewers and a moderator`;
      rows.push({ what: `command, ${who} looking on`, figures: figures(timesOf(commands)) });
      rows.push({ what: `opening to each device, ${who}`, figures: figures(timesOf(opened)) });
      rows.push({ what: `lock to each device, ${who}`, figures: figures(timesOf(locked)) });
      if (size >= 50) {
        const what = `opened to every device p95 at ${String(size)} reviewers, ms`;
        goals.push({ what, measured: timesOf(opened).p95, limit: 300, gate: false });
      }
    } finally {
      await server.stop();
      rmSync(directory, { recursive: true, force: true });
    }
  }
  const note = `${String(plan.openings)} evaluations of 30 tasks a panel, everybody's sheet full; ms from the command until a device has all of it`;
  return { section: { name: 'Panel', note, rows }, goals };
};
