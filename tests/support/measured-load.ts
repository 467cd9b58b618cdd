import { fork, type ChildProcess } from 'node:child_process';
import { join } from 'node:path';
import type { OpenSheet } from '../../server/src/rehearse/seat-client.ts';
import type { livePanel } from './live-panel.ts';

export interface Memory {
  /** Bytes in use after garbage was collected. */
  heap: number;
  rss: number;
}

export interface MeasuredServer {
  url: string;
  signInLink: string;
  measure: () => Promise<Memory>;
  stop: () => Promise<void>;
}

const answerOf = <T>(child: ChildProcess): Promise<T> =>
  new Promise((resolve, reject) => {
    child.once('message', (message) => resolve(message as T));
    child.once('exit', (code) => reject(new Error(`the server ended with ${String(code)}`)));
  });

/** Starts the server in a process of its own that can be asked for its memory. */
export const measuredServer = async (directory: string): Promise<MeasuredServer> => {
  const script = join(import.meta.dirname, 'measured-server.ts');
  const child = fork(script, [directory], { execArgv: ['--expose-gc', '--import', 'tsx'] });
  const { url, signInLink } = await answerOf<{ url: string; signInLink: string }>(child);
  return {
    url,
    signInLink,
    measure: () => {
      const answer = answerOf<Memory>(child);
      child.send('measure');
      return answer;
    },
    stop: async () => {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      await ended;
    },
  };
};

const TASKS = ['chest-access', 'aed-pads', 'torso-removal', 'airway-open'];

/** Reviewers in a sealed round, each with an open sheet. */
export const openSheets = async (
  panel: Awaited<ReturnType<typeof livePanel>>,
  reviewers: number,
): Promise<OpenSheet[]> => {
  const seats = [];
  for (let i = 0; i < reviewers; i++)
    seats.push(await panel.join('reviewer', `R ${String(i + 1)}`));
  await panel.moderator.onEvaluation({ type: 'start-round' });
  const sheets: OpenSheet[] = [];
  for (const { client } of seats) {
    await client.until('the round', (v) => v.me?.sheets.length === 1);
    const sheet = await client.openSheet(1);
    await sheet.saved();
    sheets.push(sheet);
  }
  return sheets;
};

/** Each sheet is edited `edits` times, every edit acknowledged before the next; how many in all. */
export const editAll = async (
  sheets: readonly OpenSheet[],
  edits: number,
  pauseMs: number,
): Promise<number> => {
  const one = async (sheet: OpenSheet): Promise<void> => {
    for (let i = 0; i < edits; i++) {
      sheet.set(TASKS[i % TASKS.length] ?? '', { answer: i % 6, note: `edit ${String(i)}` });
      await sheet.saved();
      await new Promise((resolve) => setTimeout(resolve, pauseMs));
    }
  };
  await Promise.all(sheets.map(one));
  return edits * sheets.length;
};
