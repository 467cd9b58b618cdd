import { sheetKey, type Protocol, type Rating, type SheetField } from '@unhindered/shared-types';
import { protocolKey, type App, type Identity } from '../flows/app.ts';
import { ratingFromSheet } from '../evaluation/sheet-ratings.ts';
import { DEMO_PROTOCOL } from '../protocol/demonstration.ts';
import { demoFit } from './fit.ts';
import { DEMO_PIECES, type DemoPiece } from './pieces.ts';
import { demoTrials } from './trials.ts';
import { settledPlan, sheetPlans, type SheetPlan } from './plan.ts';
import {
  demoLead,
  makePanel,
  onEvaluation,
  onPanel,
  seatReviewer,
  writeSheet,
  type DemoPanel,
  startDay,
} from './seats.ts';

/** Moves the clock that the demonstration's panels sat by. */
export interface DemoClock {
  set: (instant: string) => void;
  minutes: (n: number) => void;
}

const PEOPLE = [
  'Athletic-training educator (invented)',
  'Paramedic instructor (invented)',
  'Emergency physician (invented)',
  'Equipment manager (invented)',
  'Resuscitation-course director (invented)',
];
const ADVICE = 'Paid advice to a seller of removal tools (invented).';
const TIES = [
  { to: 'tool' as const, tool: 'primary-mask-tool', detail: ADVICE },
  { to: 'tool' as const, tool: 'mask-cutter', detail: ADVICE },
];
const SEASONS = {
  2023: '2023-10-14T08:00:00.000Z',
  2024: '2024-10-12T08:00:00.000Z',
  2025: '2025-10-11T08:00:00.000Z',
} as const;
const DAY = 24 * 60;

/** One evaluation on its way through the panel. */
interface Sitting {
  app: App;
  clock: DemoClock;
  panel: DemoPanel;
  piece: DemoPiece;
  protocol: Protocol;
  evaluation: string;
  /** Settled values by task, as they are meant to come out. */
  plan: ReadonlyMap<string, number>;
  sheets: SheetPlan[];
}

const ratingOf = (s: Sitting, reviewer: number, task: string): Rating => {
  const fields = Object.entries(s.sheets[reviewer]?.get(task) ?? {});
  const values = new Map(fields.map(([f, v]) => [sheetKey(task, f as SheetField), v]));
  const rating = ratingFromSheet(values, task, s.protocol.scale.datum);
  if (!rating) throw new Error(`the plan has no rating of ${task}`);
  return rating;
};

const reviewer = (s: Sitting, index: number): Identity => {
  const who = s.panel.reviewers[index];
  if (!who) throw new Error(`reviewer ${String(index + 1)} is not seated`);
  return who;
};

const act = (s: Sitting, who: Identity, command: Parameters<typeof onEvaluation>[3]) =>
  onEvaluation(s.app, who, s.evaluation, command);

/** The remote reviewer's link dropped in the face-mask section: those ratings came after the opening. */
const LATE_IN = 'd1';
/** Who rates from live video, far away. */
const REMOTE = 2;
const LATE_TASK = 'fm-left-on-access';
const SLIP_TASK = 'lift-transfer';
/** The fifth reviewer came on the second day of this piece's panel. */
const SECOND_DAY = 'd3';
const VOID_TRIAL = {
  task: 'fm-cut-backup',
  text: 'The second attempt is void: the tool was dropped. It was done again.',
};

const rate = async (s: Sitting): Promise<void> => {
  for (const [index, plan] of s.sheets.entries()) {
    const who = s.panel.reviewers[index];
    if (!who) continue;
    const sheet = new Map(plan);
    if (s.piece.id === LATE_IN && index === 2) sheet.delete(LATE_TASK);
    if (s.piece.id === LATE_IN && index === 0) sheet.set(SLIP_TASK, { answer: 4 });
    s.clock.minutes(3);
    const remark = s.piece.id === 'd5' && index === 0 ? VOID_TRIAL : null;
    const how = index === REMOTE ? 'live-elsewhere' : 'present';
    await act(s, who, { type: 'state-observation', how });
    await writeSheet(s.app, who, s.evaluation, sheet, remark);
    await act(s, who, { type: 'finish-sheet' });
  }
};

/** What came after the opening: a slip, a late rating, a reviewer of the second day. */
const afterOpening = async (s: Sitting): Promise<void> => {
  const { app, clock, panel, piece } = s;
  if (piece.id === LATE_IN) {
    await act(s, reviewer(s, 0), {
      type: 'correct-rating',
      task: SLIP_TASK,
      rating: ratingOf(s, 0, SLIP_TASK),
      reason: 'Tapped the wrong step; said so as soon as the round was opened.',
    });
    const rating = ratingOf(s, 2, LATE_TASK);
    const ratings = [{ task: LATE_TASK, rating }];
    await act(s, reviewer(s, 2), { type: 'offer-late', round: 1, ratings });
    const live = await app.logs.evaluation(s.evaluation);
    for (const late of live?.state.late.keys() ?? []) {
      await act(s, panel.moderator, {
        type: 'decide-late',
        late,
        admit: true,
        reason: 'Made before the opening; the link was down for 90 seconds.',
      });
    }
  }
  if (piece.id !== SECOND_DAY) return;
  clock.minutes(DAY);
  await seatReviewer(app, panel, PEOPLE[4] ?? '', []);
  const plan = s.sheets[4];
  if (plan) await writeSheet(app, reviewer(s, 4), s.evaluation, plan);
  await act(s, reviewer(s, 4), { type: 'state-observation', how: 'present' });
  await act(s, reviewer(s, 4), { type: 'finish-sheet' });
};

const ADOPTED = 'The panel read the median again with the anchors and kept it.';

const settle = async (s: Sitting): Promise<void> => {
  const { piece, panel } = s;
  for (const [task, { value, reason }] of Object.entries(piece.settlements)) {
    const how = value === null ? ('leave-open' as const) : ('decide' as const);
    const text = value === null ? null : String(value);
    await act(s, panel.moderator, { type: 'settle-task', task, how, value: text, reason });
  }
  for (const [task, { confirm, reason }] of Object.entries(piece.gates)) {
    await act(s, panel.moderator, { type: 'decide-gate', task, confirm, reason });
  }
  await act(s, panel.moderator, { type: 'adopt-undisputed' });
  const live = await s.app.logs.evaluation(s.evaluation);
  for (const task of live?.state.ratings.keys() ?? []) {
    if (live?.state.settled.has(task) !== false) continue;
    const on = [...(live.state.ratings.get(task)?.values() ?? [])];
    if (on.every((r) => r.rating.step === null)) continue;
    await act(s, panel.moderator, {
      type: 'settle-task',
      task,
      how: 'adopt',
      value: null,
      reason: ADOPTED,
    });
  }
};

/** Whether each reviewer would be content to see the piece worn: content with what hinders little and fits. */
const endorse = async (s: Sitting): Promise<void> => {
  const fit = s.piece.ease[0] ?? 0;
  const blocked = Object.values(s.piece.gates).some((g) => g.confirm);
  for (const [index, who] of s.panel.reviewers.entries()) {
    if (index === 3 && s.piece.id !== 'd1') continue;
    const content = index === 1 ? !blocked && fit >= 3.7 : fit >= 3.5 || index === 4;
    await act(s, who, {
      type: 'endorse',
      content,
      reason: content
        ? 'Sits well, stays put and cleans easily.'
        : 'Presses at the jaw when lying down, and the padding holds water.',
    });
  }
};

const sit = async (s: Sitting): Promise<void> => {
  const { clock, panel } = s;
  clock.minutes(20);
  for (const command of demoFit(s.piece.id, panel.moderator.seat)) {
    await act(s, panel.moderator, command);
    clock.minutes(5);
  }
  await demoTrials(s.app, panel.moderator, {
    evaluation: s.evaluation,
    piece: s.piece.id,
    kind: s.piece.specimen.kind,
    settled: (task) => s.plan.get(task),
    pass: clock.minutes,
  });
  await act(s, panel.moderator, { type: 'start-round' });
  await rate(s);
  await act(s, panel.moderator, { type: 'open-round', withMissing: true });
  clock.minutes(15);
  await afterOpening(s);
  await settle(s);
  await endorse(s);
  clock.minutes(10);
  await act(s, panel.moderator, {
    type: 'lock',
    meaning: 'Invented: a demonstration that nobody signed.',
  });
};

/** What was made, by the ids of the invented pieces. */
export type DemoFilled = ReadonlyMap<string, { evaluation: string; panel: DemoPanel }>;

/**
 * Fills an empty workspace with the invented catalogue, through the same flows as anybody's panels. `random` decides
 * who deviates from whom by a step; `say` gets a line for each piece.
 */
export const fillDemo = async (
  app: App,
  clock: DemoClock,
  random: () => number,
  say: (line: string) => void,
): Promise<DemoFilled> => {
  const made = new Map<string, { evaluation: string; panel: DemoPanel }>();
  let panel: DemoPanel | undefined;
  let season = 0;
  for (const piece of DEMO_PIECES) {
    if (piece.season !== season || !panel) {
      season = piece.season;
      clock.set(SEASONS[piece.season]);
      const title = `Autumn ${String(season)} (invented)`;
      panel = await makePanel(app, await demoLead(app), title, 'Simulation room (invented)');
      const first = season === 2023 ? PEOPLE.slice(0, 4) : PEOPLE;
      for (const [i, name] of first.entries()) {
        await seatReviewer(app, panel, name, i === 3 ? TIES : []);
      }
    }
    const version = piece.protocolVersion;
    const published = app.protocols.get(protocolKey({ id: DEMO_PROTOCOL, version }));
    if (!published) throw new Error(`the demonstration has no protocol ${version}`);
    const before = piece.again && made.get(piece.again.id);
    const created = await onPanel(app, panel.moderator, {
      type: 'create-evaluation',
      title: piece.title,
      specimen: piece.specimen,
      protocol: { id: DEMO_PROTOCOL, version },
      ...(before ? { reevaluates: before.evaluation } : {}),
    });
    if (created?.kind !== 'evaluation') throw new Error('the demonstration got no evaluation');
    const { evaluation } = created;
    const { protocol } = published;
    await startDay(app, panel, protocol);
    const plan = settledPlan(piece, protocol, random);
    const sheets = sheetPlans(piece, protocol, plan, random);
    await sit({ app, clock, panel, piece, protocol, evaluation, plan, sheets });
    made.set(piece.id, { evaluation, panel });
    const reason = piece.again?.supersedes;
    if (before && reason != null) {
      const { moderator } = before.panel;
      const supersede = { type: 'supersede' as const, by: evaluation, reason };
      await onEvaluation(app, moderator, before.evaluation, supersede);
    }
    say(`${piece.id}  ${piece.title}`);
    clock.minutes(40);
  }
  return made;
};
