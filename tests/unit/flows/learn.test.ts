import { expect, test } from 'vitest';
import { severity } from '../../../server/src/consensus/severity.ts';
import { learnFrom } from '../../../server/src/evaluation/learning.ts';
import {
  protocolLearning,
  protocolPageRefusal,
  reviewerLearning,
} from '../../../server/src/flows/learn.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import type { Session } from '../../../server/src/ports/store.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const scale = { min: 0, max: 5, better: 'lower' } as const;
const PROTOCOL = { id: 'emergency-access', version: '1.0.0' };

const sessionFor = (
  { seat, panel }: Pick<Identity, 'seat' | 'panel'>,
  app: Parameters<typeof newSession>[0],
): Session => newSession(app, { seat, panel }).session;

test('LE-1: habit, evenness and distance, worked out by hand on four tasks', () => {
  // B rates one step above A everywhere; C is level with A but once, by two.
  const cells = [
    [1, 2, 1],
    [2, 3, 2],
    [3, 4, 5],
    [0, 1, 0],
  ];
  const table = { scale, tasks: ['a', 'b', 'c', 'd'], reviewers: ['A', 'B', 'C'], cells };
  const answer = learnFrom({ table, settled: [1, 2, null, 0.5], seat: 'B' });
  expect(answer.n).toBe(4);
  const fit = severity(cells);
  // Means 1.5, 2.5, 2: the panel's is 2, so B stands half a step above it.
  expect(answer.severity).toEqual({ value: expect.closeTo(0.5, 12) });
  expect(answer.error).toEqual({ value: fit?.effectErrors[1] });
  // Task means 4/3, 7/3, 4, 1/3; B's rests are 1/6, 1/6, -1/2, 1/6: variance (3/36 + 9/36) / 3.
  expect(answer.spread).toEqual({ value: expect.closeTo(Math.sqrt(12 / 36 / 3), 12) });
  expect(answer.settled).toEqual({
    n: 3,
    mean: { value: expect.closeTo((1 + 1 + 0.5) / 3, 12) },
    distance: { value: expect.closeTo((1 + 1 + 0.5) / 3, 12) },
    withinOne: { value: 1 },
  });
  const few = learnFrom({
    table: { ...table, cells: [[1, undefined, 2]] },
    settled: [1],
    seat: 'B',
  });
  expect(few).toMatchObject({
    n: 0,
    settled: { n: 0, mean: { why: 'no settled task was rated' } },
  });
  for (const figure of [few.severity, few.spread]) expect(figure).toHaveProperty('why');
});

test('LE-2: a reviewer’s page is for the reviewer and the lead; others are told that there is none', async () => {
  const { app, panel } = await lockedBundle();
  const [a, b] = panel.reviewers;
  if (!a || !b) throw new Error('nobody is seated');
  const observer = await panel.sit('observer', 'Olu');
  const second = await panel.sit('moderator', 'Second Moderator');
  const other = await seatedPanel(app, 1);
  const ask = (session: Session, seat = a.seat, of = panel.panel) =>
    reviewerLearning(app, session, of, seat);
  const nothing = await ask(panel.lead, 'st_nobody');
  expect(nothing).toMatchObject({ ok: false, rejection: { code: 'unknown-thing' } });
  const wall = await panel.sit('wall', '');
  for (const who of [b, observer, second, wall, other.moderator, ...other.reviewers]) {
    expect(await ask(sessionFor(who, app))).toEqual(nothing);
  }
  const waiting = newSession(app, { seat: a.seat, panel: panel.panel }, 'waiting').session;
  expect(await ask(waiting)).toEqual(nothing);
  // The moderator of this panel is its lead by another session: by a seat's own, there is nothing.
  expect(await ask(sessionFor(panel.moderator, app))).toEqual(nothing);
  // Of people who do not rate there is no page, also not for the lead.
  expect(await ask(panel.lead, panel.moderator.seat)).toEqual(nothing);

  const own = await ask(sessionFor(a, app));
  const lead = await ask(panel.lead);
  expect(own).toMatchObject({ ok: true, value: { own: true, letter: 'A', practices: [] } });
  expect(lead).toMatchObject({ ok: true, value: { own: false, letter: 'A' } });
  if (!own.ok || !lead.ok) return;
  expect(own.value.evaluations).toEqual(lead.value.evaluations);
  expect(own.value.evaluations).toHaveLength(1);
  // One of five ratings is taken out by the tie to the mask cutter.
  expect(own.value.evaluations[0]).toMatchObject({ n: 4, settled: { n: 4 }, paper: false });
});

test('LE-2: it opens with one’s own round, and a withdrawn record teaches nothing', async () => {
  const { app, panel } = await lockedBundle();
  const [a] = panel.reviewers;
  if (!a) throw new Error('nobody is seated');
  const session = sessionFor(a, app);
  const { SPECIMEN } = await import('../../support/specimen.ts');
  const made = await panel.onPanel(panel.moderator, {
    type: 'create-evaluation',
    title: 'Next',
    specimen: SPECIMEN,
    protocol: PROTOCOL,
  });
  const next = made.ok && made.result?.kind === 'evaluation' ? made.result.evaluation : '';
  const { runEvaluationCommand } =
    await import('../../../server/src/flows/run-evaluation-command.ts');
  const { CLIENT_AT, commandId } = await import('../../support/seated-panel.ts');
  accepted(
    await runEvaluationCommand(app, panel.moderator, {
      id: commandId(),
      clientAt: CLIENT_AT,
      on: 'evaluation',
      evaluation: next,
      command: { type: 'start-round' },
    }),
  );
  expect(await reviewerLearning(app, session, panel.panel, a.seat)).toMatchObject({
    rejection: { code: 'round-sealed' },
  });
  expect(await reviewerLearning(app, panel.lead, panel.panel, a.seat)).toMatchObject({ ok: true });
  accepted(
    await panel.act(panel.moderator, {
      type: 'withdraw',
      reason: 'The piece was not what its label said.',
    }),
  );
  expect(await reviewerLearning(app, panel.lead, panel.panel, a.seat)).toMatchObject({
    value: { evaluations: [], withdrawn: 1, without: 0 },
  });
});

/** One more locked evaluation: three reviewers, one task. */
const another = async (
  app: Parameters<typeof seatedPanel>[0],
  steps: (number | string)[],
): Promise<SeatedPanel> => {
  const panel = await seatedPanel(app, steps.length);
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  for (const [i, who] of panel.reviewers.entries())
    await panel.rate(who, { 'airway-open': steps[i] ?? 0 });
  accepted(await panel.act(panel.moderator, { type: 'open-round', withMissing: true }));
  const settle = {
    type: 'settle-task',
    task: 'airway-open',
    how: 'adopt',
    value: null,
    reason: null,
  } as const;
  accepted(await panel.act(panel.moderator, settle));
  accepted(await panel.act(panel.moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  return panel;
};

test('LE-3, LE-4: a protocol over its locked evaluations: from three on, with counts that can be added up by hand', async () => {
  const { app } = testApp();
  await another(app, [1, 1, 2]);
  await another(app, [0, 4, 'not-observed']);
  const two = await protocolLearning(app, PROTOCOL);
  expect(two).toMatchObject({ value: { evaluations: 2, tasks: [], unused: [], ratings: 0 } });
  const last = await another(app, [2, 2, 2]);
  const three = await protocolLearning(app, PROTOCOL);
  expect(three.ok).toBe(true);
  if (!three.ok) return;
  expect(three.value).toMatchObject({ evaluations: 3, paper: 0, ratings: 8, unused: [3, 5] });
  const task = three.value.tasks.find((t) => t.task === 'airway-open');
  // Deviations 1/3, 2 and 0; pairs within one step: 3 of 3, 0 of 1, 3 of 3.
  expect(task).toMatchObject({
    evaluations: 3,
    n: 8,
    pairs: 7,
    unused: [3, 5],
    answers: 9,
    deviation: { value: expect.closeTo((1 / 3 + 2 + 0) / 3, 12) },
    withinOne: { value: 6 / 7 },
    notObserved: { value: 1 / 9 },
    notApplicable: { value: 0 },
    diverged: 1,
  });
  expect(three.value.tasks.find((t) => t.task === 'pulse-check')).toMatchObject({
    n: 0,
    unused: [],
    deviation: { why: 'never rated twice' },
  });
  accepted(
    await last.act(last.moderator, {
      type: 'withdraw',
      reason: 'The piece was not what its label said.',
    }),
  );
  expect(await protocolLearning(app, PROTOCOL)).toMatchObject({
    value: { evaluations: 2, tasks: [] },
  });
  expect(await protocolLearning(app, { id: 'nothing', version: '1.0.0' })).toMatchObject({
    rejection: { code: 'unknown-thing' },
  });
});

test('LE-4: the protocol’s page is for moderators and the lead', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 1);
  const observer = await panel.sit('observer', 'Olu');
  expect(await protocolPageRefusal(app, panel.lead)).toBeUndefined();
  expect(await protocolPageRefusal(app, sessionFor(panel.moderator, app))).toBeUndefined();
  for (const who of [...panel.reviewers, observer]) {
    expect(await protocolPageRefusal(app, sessionFor(who, app))).toMatchObject({
      code: 'role-may-not',
    });
  }
});
