import { randomInt } from 'node:crypto';
import { BOARD_ENTRIES, boardKey, type BoardEntry, type Specimen } from '@unhindered/shared-types';
import * as Y from 'yjs';
import type { App, Identity } from '../flows/app.ts';
import { commitWrites } from '../flows/commit-writes.ts';
import { bareTrials, type DrawnTrial } from './bare-trials.ts';

/** Seconds between which a trial lies, by the settled step of its task; null where two of three are not done by the cap. */
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

/** Where two of three are not done, the third takes so long. */
const NEVER = [150, 179] as const;

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
  random: () => number,
): DrawnTrial[] => {
  const place = Math.min(bands.length - 1, Math.max(0, Math.round(step)));
  const band = bands[place] ?? NEVER;
  return OPERATORS.flatMap((operator, o) =>
    Array.from({ length: EACH }, (_, n): DrawnTrial => {
      const failed = bands[place] == null ? n < EACH - 1 : place >= HARD && o === 1 && n === 0;
      const [low, high] = band;
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
        replaces: null,
      };
    }),
  );
};

/** What became of one attempt with the back-up: the tool was dropped, and it was done again. */
const VOID_TRIAL = { piece: 'd5', task: 'fm-cut-backup', reason: 'The tool was dropped.' };

/** Minutes between two trials, from entry to entry. */
const APART = 2;

interface Drawn {
  key: string;
  entry: BoardEntry;
}

/** The trials in their order, each with its key and its time, and the one that is void. */
const entriesOf = (
  trials: readonly DrawnTrial[],
  piece: string,
  start: number,
  newKey: () => string,
): Drawn[] => {
  const at = (n: number): string => new Date(start + n * APART * 60_000).toISOString();
  const void_ = trials.findIndex((t) => piece === VOID_TRIAL.piece && t.task === VOID_TRIAL.task);
  return trials.flatMap((trial, n): Drawn[] => {
    const own = { key: newKey(), entry: { ...trial, at: at(n) } };
    if (n !== void_) return [own];
    const { task, reason } = VOID_TRIAL;
    const dropped = { key: newKey(), entry: { ...trial, at: at(n) } };
    const said = { kind: 'trial-void' as const, task, trial: dropped.key, reason, at: at(n) };
    return [dropped, { key: newKey(), entry: said }, own];
  });
};

/** What the bench of one invented evaluation tries. */
export interface DemoBench {
  evaluation: string;
  piece: string;
  kind: Specimen['kind'];
  /** The step that a task will be settled at. */
  settled: (task: string) => number | undefined;
  /** Lets the time pass that the trials take. */
  pass: (minutes: number) => void;
}

/**
 * Trials of the demonstration, written on the board as the moderator's device would: with each piece and on the same
 * athlete without it, and timed ones of the ladder where there is a mask, each near what the panel will settle. The same
 * ones for a piece every time.
 */
export const demoTrials = async (app: App, who: Identity, bench: DemoBench): Promise<void> => {
  const { evaluation, piece, kind, settled, pass } = bench;
  const live = await app.logs.evaluation(evaluation);
  const board = live?.state.created?.board;
  if (!live || board === undefined) throw new Error('the demonstration has no board');
  const seed = [...piece].reduce((sum, c) => Math.imul(sum, 31) + c.charCodeAt(0), 7);
  const random = stream(seed);
  const ladder = TECHNIQUES.flatMap((technique) => {
    const step = kind === 'pads' ? undefined : settled(technique.task);
    return step === undefined ? [] : trialsOf(technique, step, random);
  });
  const trials = [...bareTrials(piece, kind, random), ...ladder];
  const newKey = (): string => boardKey(who.seat, app.ids.id('').slice(1));
  const entries = entriesOf(trials, piece, app.timers.now(), newKey).map(({ key, entry }) => ({
    key,
    value: JSON.stringify(entry),
  }));
  pass(trials.length * APART);
  const doc = new Y.Doc();
  doc.clientID = randomInt(1, 2 ** 31);
  const map = doc.getMap(BOARD_ENTRIES);
  doc.transact(() => {
    for (const { key, value } of entries) map.set(key, value);
  });
  const { seat, device } = who;
  const bytes = Y.encodeStateAsUpdate(doc);
  const outcomes = await commitWrites(app, new Map([[board, live]]), [
    { document: board, seat, device, bytes, newClients: [doc.clientID], entries },
  ]);
  if (outcomes.some((o) => o !== 'kept')) {
    throw new Error('the demonstration could not keep its trials');
  }
};
