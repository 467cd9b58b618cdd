import { randomInt } from 'node:crypto';
import { BOARD_ENTRIES, boardKey, type TrialEntry } from '@unhindered/shared-types';
import * as Y from 'yjs';
import { nowText, type App, type Identity } from '../flows/app.ts';
import { commitWrites } from '../flows/commit-writes.ts';

/** Seconds between which a trial lies, by the settled step of its task; null where it is not done by the cap. */
type Bands = readonly (readonly [low: number, high: number] | null)[];

/** The techniques of the demonstration's ladder: the state they are tried in, their caps, their bands by step. */
const TECHNIQUES: readonly { task: string; state: string; cap: number; bands: Bands }[] = [
  {
    task: 'fm-tool-first',
    state: 'as-worn',
    cap: 180,
    bands: [[9, 20], [21, 45], [46, 90], [91, 180], [120, 180], null],
  },
  {
    task: 'fm-cut-backup',
    state: 'as-worn',
    cap: 180,
    bands: [[18, 30], [31, 60], [61, 120], [121, 180], [140, 180], null],
  },
  {
    task: 'helmet-removal',
    state: 'strap-released',
    cap: 300,
    bands: [[28, 45], [46, 90], [91, 180], [181, 300], [220, 300], null],
  },
];
const OPERATORS = ['K1', 'K2', 'K3'];
const EACH = 3;
/** From this step on one of the trials was not done. */
const HARD = 3;

/** Numbers in [0, 1) of the trials alone, so that they move nobody's rating. */
const stream = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
};

/** The invented trials of one technique whose task was settled near `step`. */
const trialsOf = (
  { task, state, cap, bands }: (typeof TECHNIQUES)[number],
  step: number,
  at: string,
  random: () => number,
): TrialEntry[] => {
  const place = Math.min(bands.length - 1, Math.max(0, Math.round(step)));
  const band = bands[place];
  return OPERATORS.flatMap((operator, o) =>
    Array.from({ length: EACH }, (_, n): TrialEntry => {
      const failed = band == null || (place >= HARD && o === 1 && n === 0);
      const [low, high] = band ?? [cap, cap];
      const seconds = failed ? cap : Math.round((low + random() * (high - low)) * 10) / 10;
      return {
        kind: 'trial',
        task,
        state,
        condition: 'equipment',
        operator,
        done: !failed,
        seconds: String(seconds),
        splits: [],
        measures: [],
        criterion: null,
        note: null,
        at,
        replaces: null,
      };
    }),
  );
};

/**
 * Timed trials of the demonstration's helmets, each near what the panel will settle, written on the board as the
 * moderator's device would: the same ones for a `piece` every time. `settled` gives the step of a task; a task
 * without one has no trial.
 */
export const demoTrials = async (
  app: App,
  who: Identity,
  evaluation: string,
  piece: string,
  settled: (task: string) => number | undefined,
): Promise<void> => {
  const live = await app.logs.evaluation(evaluation);
  const board = live?.state.created?.board;
  if (!live || board === undefined) throw new Error('the demonstration has no board');
  const at = nowText(app);
  const seed = [...piece].reduce((sum, c) => Math.imul(sum, 31) + c.charCodeAt(0), 7);
  const random = stream(seed);
  const entries = TECHNIQUES.flatMap((technique) => {
    const step = settled(technique.task);
    return step === undefined ? [] : trialsOf(technique, step, at, random);
  }).map((entry) => ({
    key: boardKey(who.seat, app.ids.id('').slice(1)),
    value: JSON.stringify(entry),
  }));
  if (entries.length === 0) return;
  const doc = new Y.Doc();
  doc.clientID = randomInt(1, 2 ** 31);
  const map = doc.getMap(BOARD_ENTRIES);
  doc.transact(() => {
    for (const { key, value } of entries) map.set(key, value);
  });
  const { seat, device } = who;
  const outcomes = await commitWrites(app, new Map([[board, live]]), [
    {
      document: board,
      seat,
      device,
      bytes: Y.encodeStateAsUpdate(doc),
      newClients: [doc.clientID],
      entries,
    },
  ]);
  if (outcomes.includes('frozen')) throw new Error('the demonstration could not keep its trials');
};
