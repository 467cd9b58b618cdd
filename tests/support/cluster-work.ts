import { expect } from 'vitest';
import type { OpenSheet, SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { livePanel } from './live-panel.ts';

export const TASKS = ['chest-access', 'aed-pads', 'torso-removal', 'airway-open'];

/** A reviewer who types one answer after the other, each when the one before was called saved. */
export interface Typist {
  seat: string;
  /** The last answer to each task that was called saved. */
  saved: Map<string, number>;
  /** Longest wait for "saved", milliseconds. */
  longest: () => number;
  edits: () => number;
  /** Resolves when it types no more. */
  done: Promise<void>;
  stop: () => Promise<void>;
}

/** Types into an open sheet until stopped, or until `over` says that no more is taken. */
export const typing = (
  seat: string,
  sheet: OpenSheet,
  seed: number,
  over: () => boolean = () => false,
  pauseMs = 20,
): Typist => {
  let working = true;
  let longest = 0;
  let edits = 0;
  const saved = new Map<string, number>();
  const work = (async () => {
    for (let n = 0; working; n++) {
      const task = TASKS[n % TASKS.length] ?? '';
      const answer = (n + seed) % 5;
      const before = performance.now();
      sheet.set(task, { answer });
      const kept = await Promise.race([sheet.saved().then(() => true), endOf(over)]);
      if (!kept) break;
      longest = Math.max(longest, performance.now() - before);
      saved.set(task, answer);
      edits++;
      await new Promise((resolve) => setTimeout(resolve, pauseMs));
    }
  })();
  return {
    seat,
    saved,
    longest: () => longest,
    edits: () => edits,
    done: work,
    stop: async () => {
      working = false;
      await work;
    },
  };
};

const endOf = async (over: () => boolean): Promise<false> => {
  while (!over()) await new Promise((resolve) => setTimeout(resolve, 10));
  return false;
};

/** What was called saved stands in the record, whatever else does; returns how many answers were compared. */
export const expectInRecord = (moderator: SeatClient, typists: readonly Typist[]): number => {
  let compared = 0;
  for (const { seat, saved } of typists) {
    for (const [task, answer] of saved) {
      const rating = moderator.view.tasks?.[task]?.ratings.find((r) => r.seat === seat);
      expect(rating?.rating.step, `${seat} ${task}`).toBe(answer);
      compared++;
    }
  }
  return compared;
};

/** Opens the round and looks at it anew: the line may have been cut since. */
export const openNow = async ({
  moderator,
  evaluation,
}: Awaited<ReturnType<typeof livePanel>>): Promise<void> => {
  await moderator.watch(evaluation);
  await moderator.onEvaluation({ type: 'open-round', withMissing: true });
  await moderator.until('the opening', (v) => v.head?.stage === 'opened');
};
