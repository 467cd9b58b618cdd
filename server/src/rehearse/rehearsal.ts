import type { EvaluationView, LockSlice, Protocol, TaskSlice } from '@unhindered/shared-types';
import { protocolTasks } from '@unhindered/shared-types';
import { inventedFitCommand } from './invented-fit.ts';
import { inventedRatings } from './invented-ratings.ts';
import { seededRandom } from './random.ts';
import { adoptUndisputed } from './adopt-undisputed.ts';
import { SeatClient, type OpenSheet } from './seat-client.ts';

export interface RehearsalOptions {
  url: string;
  signInLink: string;
  /** The cookie of a lead who has signed in already. */
  lead?: string;
  reviewers: number;
  seed: number;
  /** Milliseconds between two ratings of one person; 0 is full speed. */
  pace: number;
  say: (line: string) => void;
}

/** What came out, for the caller to print or keep. */
export interface RehearsalOutcome {
  evaluation: string;
  locked: NonNullable<LockSlice['locked']>;
  ratings: number;
  divergent: number;
  settled: number;
  bundle: Uint8Array;
  openedMs: number;
}

const NAMES = [
  'Ada',
  'Ben',
  'Cleo',
  'Dan',
  'Eve',
  'Finn',
  'Gus',
  'Hal',
  'Ida',
  'Jon',
  'Kit',
  'Lou',
];

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

const need = <T>(value: T | undefined | null, what: string): T => {
  if (value === undefined || value === null) throw new Error(`the server did not give ${what}`);
  return value;
};

interface Cast {
  moderator: SeatClient;
  reviewers: SeatClient[];
  panel: string;
  evaluation: string;
  protocol: Protocol;
}

const seatPanel = async (o: RehearsalOptions): Promise<Cast> => {
  const moderator =
    o.lead === undefined
      ? await SeatClient.signIn(o.url, o.signInLink)
      : new SeatClient(o.url, o.lead);
  const made = await moderator.must({
    on: 'workspace',
    command: {
      type: 'create-panel',
      title: 'Rehearsal (invented)',
      occasion: 'Invented data',
      moderatorName: 'Mo (simulated)',
    },
  });
  const panel = made?.kind === 'panel' ? made.panel : need<string>(undefined, 'a panel');
  await moderator.onPanel(panel, {
    type: 'declare-interest',
    declaration: { ties: [], familiarity: 'none' },
  });
  const reviewers: SeatClient[] = [];
  for (let i = 0; i < o.reviewers; i++) {
    const invited = await moderator.onPanel(panel, {
      type: 'invite',
      role: 'reviewer',
      label: '',
      by: 'code',
      until: null,
      seat: null,
    });
    const secret =
      invited?.kind === 'invitation' ? invited.secret : need<string>(undefined, 'a code');
    const name = `${NAMES[i % NAMES.length] ?? 'Pat'} (simulated)`;
    const reviewer = await SeatClient.join(o.url, secret, name);
    await reviewer.onPanel(panel, {
      type: 'declare-interest',
      declaration: {
        ties:
          i === 1
            ? [{ to: 'tool', tool: 'mask-cutter', detail: 'Paid advice to a cutter seller.' }]
            : [],
        familiarity: 'seen',
      },
    });
    reviewers.push(reviewer);
  }
  const created = await moderator.onPanel(panel, {
    type: 'create-evaluation',
    title: 'Larkmoor Heron 3 (invented)',
    specimen: {
      kind: 'helmet',
      sport: 'gridiron',
      maker: 'Larkmoor Guardworks (invented)',
      model: 'Heron 3',
      year: '',
      size: 'L',
      serial: '',
      condition: 'used, two seasons',
      fastening: 'two side quick-release pins, two top screws',
      suppliedBy: '',
    },
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  const evaluation =
    created?.kind === 'evaluation' ? created.evaluation : need<string>(undefined, 'an evaluation');
  const response = await fetch(`${o.url}/api/protocols/emergency-access/1.0.0`, {
    headers: { cookie: moderator.cookie },
  });
  const protocol = (await response.json()) as Protocol;
  for (const seat of [moderator, ...reviewers]) await seat.watch(evaluation);
  return { moderator, reviewers, panel, evaluation, protocol };
};

const rateAll = async (cast: Cast, o: RehearsalOptions): Promise<number> => {
  const random = seededRandom(o.seed);
  const plans = inventedRatings(cast.protocol, cast.reviewers.length, random);
  let ratings = 0;
  await Promise.all(
    cast.reviewers.map(async (seat, i) => {
      await seat.until('the round starts', (v) => v.me?.sheets.length === 1);
      const sheet: OpenSheet = await seat.openSheet(1);
      for (const [task, fields] of plans[i] ?? []) {
        sheet.set(task, { ...fields, at: new Date().toISOString() });
        ratings++;
        await pause(o.pace > 0 ? o.pace * (0.5 + random()) : 30);
      }
      await sheet.saved();
      await seat.onEvaluation({ type: 'finish-sheet' });
      sheet.close();
    }),
  );
  return ratings;
};

const REASON = 'Simulated: the panel talked it through at the bench.';

const settleAll = async (
  moderator: SeatClient,
): Promise<{ divergent: number; settled: number }> => {
  const queue = [...(moderator.view.queue ?? [])];
  for (const [i, task] of queue.entries()) {
    const slice: TaskSlice | undefined = moderator.view.tasks?.[task];
    const median = slice && 'value' in slice.median ? slice.median.value : undefined;
    if (i === queue.length - 1 && median !== undefined) {
      await moderator.onEvaluation({
        type: 'settle-task',
        task,
        how: 'leave-open',
        value: null,
        reason: REASON,
      });
    } else if (median !== undefined) {
      const value = String(Math.round(median * 2) / 2);
      await moderator.onEvaluation({
        type: 'settle-task',
        task,
        how: 'decide',
        value,
        reason: REASON,
      });
    }
  }
  const owed = Object.values(moderator.view.tasks ?? {}).filter((t) => t.gate?.owed);
  for (const t of owed) {
    const proposals = t.gate?.proposed.length ?? 0;
    await moderator.onEvaluation({
      type: 'decide-gate',
      task: t.task,
      confirm: proposals >= 2,
      reason: REASON,
    });
  }
  await adoptUndisputed(moderator);
  await moderator.until('all is settled', (v: Partial<EvaluationView>) =>
    (v.lock?.conditions ?? []).every((c) => c.count === 0 || c.caveat),
  );
  const settled = Object.values(moderator.view.tasks ?? {}).filter((t) => t.settled).length;
  return { divergent: queue.length, settled };
};

const fetchBundle = async (
  url: string,
  seat: SeatClient,
  evaluation: string,
): Promise<Uint8Array> => {
  const response = await fetch(`${url}/api/evaluations/${evaluation}/bundle`, {
    headers: { cookie: seat.cookie },
  });
  if (!response.ok) throw new Error(`the bundle did not come: ${String(response.status)}`);
  return new Uint8Array(await response.arrayBuffer());
};

/** Plays one whole invented evaluation over the real sockets, from invitation to the locked bundle. */
export const rehearseEvaluation = async (o: RehearsalOptions): Promise<RehearsalOutcome> => {
  const cast = await seatPanel(o);
  const { moderator, reviewers, evaluation } = cast;
  o.say(`Seated a moderator and ${String(reviewers.length)} reviewers.`);
  await moderator.onEvaluation(inventedFitCommand(moderator.view.me?.seat ?? ''));
  await moderator.onEvaluation({ type: 'start-round' });
  const ratings = await rateAll(cast, o);
  o.say(
    `Rated ${String(protocolTasks(cast.protocol).length)} tasks each, sealed: ${String(ratings)} answers.`,
  );
  const before = performance.now();
  await moderator.onEvaluation({ type: 'open-round', withMissing: false });
  await Promise.all(
    [moderator, ...reviewers].map((s) => s.until('the opening', (v) => v.head?.stage === 'opened')),
  );
  const openedMs = performance.now() - before;
  o.say(`Opened on every screen in ${openedMs.toFixed(0)} ms.`);
  const { divergent, settled } = await settleAll(moderator);
  o.say(`Talked through ${String(divergent)} tasks, settled ${String(settled)}.`);
  await moderator.onEvaluation({
    type: 'lock',
    meaning: 'Simulated: the panel stands by this record.',
  });
  await moderator.until('the lock', (v) => v.lock?.locked != null);
  const locked = need(moderator.view.lock?.locked, 'the locked result');
  const bundle = await fetchBundle(o.url, moderator, evaluation);
  for (const seat of [moderator, ...reviewers]) seat.close();
  return { evaluation, locked, ratings, divergent, settled, bundle, openedMs };
};
