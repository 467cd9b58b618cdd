import { describe, expect, test } from 'vitest';
import {
  ROLES,
  type CommandAnswer,
  type EvaluationEvent,
  type PanelCommand,
  type Role,
} from '../../../shared-types/src/index.ts';
import { standingStop } from '../../../server/src/evaluation/safety-state.ts';
import { PANEL_RIGHTS } from '../../../server/src/evaluation/rights.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { panelView } from '../../../server/src/flows/look.ts';
import { emptyReplay, misplaced, takeEvent } from '../../../server/src/verify/replay.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { BRIEFING, eventfulDay, INCIDENT, LEFT_OUT, MEASURES } from '../../support/safety.ts';
import { accepted, resultOf, seatedPanel } from '../../support/seated-panel.ts';
import { SPECIMEN } from '../../support/specimen.ts';
import { testApp } from '../../support/test-app.ts';

const codeOf = (answer: CommandAnswer): string => (answer.ok ? 'ok' : answer.rejection.code);
const STOP: PanelCommand = { type: 'stop-everyone', reason: null };
const RESUME: PanelCommand = { type: 'resume-everyone', measures: MEASURES };

const day = async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 2);
  const recorder = await p.sit('recorder', 'Rea');
  const observer = await p.sit('observer', 'Obi');
  const [a, b] = p.reviewers;
  if (!a || !b) throw new Error('nobody is seated');
  return { app, p, a, b, recorder, observer, state: async () => (await p.live()).state };
};

describe('everyone stop', () => {
  test('SD-1: any seat at work stops everyone, with a reason or without; who looks on may not', async () => {
    const may = (type: PanelCommand['type']): Role[] =>
      ROLES.filter((role) => PANEL_RIGHTS[type].includes(role));
    expect(may('stop-everyone')).toEqual(['moderator', 'reviewer', 'recorder', 'operator']);
    const { p, b, recorder, observer, state } = await day();
    expect(codeOf(await p.onPanel(observer, STOP))).toBe('role-may-not');
    expect(standingStop((await state()).safety)).toBeUndefined();
    accepted(await p.onPanel(recorder, STOP));
    const stop = standingStop((await state()).safety);
    expect(stop).toMatchObject({ seat: recorder.seat, reason: null, calls: [], resumed: null });
    // A second press says nothing new; a second reason is kept beside the first.
    accepted(await p.onPanel(b, STOP));
    accepted(await p.onPanel(b, { type: 'stop-everyone', reason: 'The buckle tore.' }));
    const both = standingStop((await state()).safety);
    expect(both?.seat).toBe(recorder.seat);
    expect(both?.calls.map((c) => [c.seat, c.reason])).toEqual([[b.seat, 'The buckle tore.']]);
    expect((await state()).safety.stops).toHaveLength(1);
  });

  test('SD-1: every device of the panel is told who called it, when and why, the wall too', async () => {
    const { app, p, a } = await day();
    const wall = await p.sit('wall', '');
    accepted(await p.onPanel(a, { type: 'stop-everyone', reason: 'Pain.' }));
    const panel = await app.logs.panelNow(p.panel);
    if (!panel) throw new Error('no panel');
    for (const who of [p.moderator, wall]) {
      const view = await panelView(app, panel, who, () => true);
      expect(view?.stop).toMatchObject({
        name: 'Reviewer 1',
        letter: 'A',
        role: 'reviewer',
        reason: 'Pain.',
        resumed: null,
      });
    }
  });

  test('SD-2: no round opens meanwhile, and the sheets stay writable; a moderator alone lets it go on', async () => {
    const { p, a, b, state } = await day();
    accepted(await p.act(p.moderator, { type: 'start-round' }));
    for (const who of [a, b]) await p.rate(who, { 'airway-open': 1 });
    accepted(await p.onPanel(a, STOP));
    const open = () => p.act(p.moderator, { type: 'open-round', withMissing: true });
    const refused = await open();
    expect(codeOf(refused)).toBe('everyone-stopped');
    expect(refused.ok ? '' : refused.rejection.message).toContain('A moderator lets the day go on');
    await p.rate(a, { 'airway-open': 2 });
    expect(codeOf(await p.onPanel(a, RESUME))).toBe('role-may-not');
    accepted(await p.onPanel(p.moderator, RESUME));
    const [stop] = (await state()).safety.stops;
    expect(stop?.resumed).toMatchObject({ seat: p.moderator.seat, measures: MEASURES });
    expect(codeOf(await p.onPanel(p.moderator, RESUME))).toBe('nothing-to-decide');
    expect(codeOf(await open())).toBe('ok');
    expect((await state()).ratings.get('airway-open')?.get(a.seat)?.rating.step).toBe(2);
  });
});

test('SD-3: the briefing is acknowledged by its very text, once a seat; another text is not', async () => {
  const { p, a, observer, state } = await day();
  const say = (text: string) => p.onPanel(a, { type: 'acknowledge-briefing', text });
  expect(codeOf(await say('0'.repeat(64)))).toBe('bad-input');
  accepted(await say(BRIEFING));
  accepted(await say(BRIEFING));
  const told = { type: 'acknowledge-briefing', text: BRIEFING } as const;
  expect(codeOf(await p.onPanel(observer, told))).toBe('role-may-not');
  expect([...((await state()).safety.briefed.get(BRIEFING)?.keys() ?? [])]).toEqual([a.seat]);
});

test('SD-5: anybody in the room says that a model leaves, and none comes back under the same code', async () => {
  const { p, observer, state } = await day();
  const consent = { type: 'record-consent', model: 'M1', written: true } as const;
  const leave = { type: 'withdraw-consent', model: 'M1' } as const;
  expect(codeOf(await p.onPanel(observer, consent))).toBe('role-may-not');
  expect(codeOf(await p.onPanel(observer, leave))).toBe('unknown-thing');
  accepted(await p.onPanel(p.moderator, consent));
  const decide = {
    type: 'decide-model-trials',
    model: 'M1',
    count: false,
    reason: LEFT_OUT,
  } as const;
  expect(codeOf(await p.act(p.moderator, decide))).toBe('nothing-to-decide');
  accepted(await p.onPanel(observer, leave));
  accepted(await p.onPanel(observer, leave));
  expect((await state()).safety.models.get('M1')?.withdrawn?.seat).toBe(observer.seat);
  expect(codeOf(await p.onPanel(p.moderator, consent))).toBe('already-decided');
});

test('SD-8: an incident is noted by anybody in the room, of what is there, and stays as it was', async () => {
  const { p, observer, state } = await day();
  const note = (change: object) =>
    p.act(observer, { type: 'note-incident', note: { ...INCIDENT, ...change } });
  expect(codeOf(await note({ task: 'no-such-task' }))).toBe('unknown-task');
  const trial = `${observer.seat}/${'x'.repeat(22)}`;
  expect(codeOf(await note({ trial }))).toBe('unknown-thing');
  accepted(await note({}));
  accepted(await note({ what: 'The same again.' }));
  const kept = (await state()).incidents.map((i) => [i.seat, i.what]);
  expect(kept).toEqual([
    [observer.seat, INCIDENT.what],
    [observer.seat, 'The same again.'],
  ]);
});

test('SD-6: an evaluation that is made later knows the stop, the models and who was briefed, with their times', async () => {
  const { app, p, a, b } = await day();
  accepted(await p.onPanel(a, { type: 'acknowledge-briefing', text: BRIEFING }));
  for (const model of ['M1', 'M2']) {
    accepted(await p.onPanel(p.moderator, { type: 'record-consent', model, written: true }));
  }
  accepted(await p.onPanel(b, { type: 'withdraw-consent', model: 'M2' }));
  accepted(await p.onPanel(p.moderator, STOP));
  accepted(await p.onPanel(p.moderator, RESUME));
  accepted(await p.onPanel(b, { type: 'stop-everyone', reason: 'Too hot.' }));
  const made = resultOf(
    await p.onPanel(p.moderator, {
      type: 'create-evaluation',
      title: 'Second',
      specimen: SPECIMEN,
      protocol: { id: 'emergency-access', version: '1.0.0' },
    }),
  );
  const second = made.kind === 'evaluation' ? made.evaluation : '';
  const before = (await p.live()).state.safety;
  const after = (await app.logs.evaluation(second))?.state.safety;
  expect(after?.stops).toEqual([before.stops[1]]);
  expect(after?.models).toEqual(before.models);
  expect(after?.briefed).toEqual(before.briefed);
  // The verifier takes what stands there, in that order.
  const replay = emptyReplay();
  for (const text of await app.store.events(second)) {
    const e = JSON.parse(text) as EvaluationEvent & { actor: string; role: string };
    const event = { type: e.type, data: e.data } as EvaluationEvent;
    expect(misplaced(replay, event, e.actor, e.role) ?? takeEvent(replay, event, e.actor)).toBe(
      undefined,
    );
  }
  expect(replay.safety.stopped).toBe(true);
  expect(replay.safety.models).toEqual(
    new Map([
      ['M1', false],
      ['M2', true],
    ]),
  );
});

describe('the record of an eventful day', () => {
  test('SD-9: stops, briefing, models and incidents stand in it, and the bundle holds', async () => {
    const { bytes, key } = await lockedBundle(undefined, eventfulDay);
    expect(verifyBundle(bytes, { key }).ok).toBe(true);
    const record = buildRecord(bytes);
    const section = JSON.stringify(record.sections.find((s) => s.id === 'safety'));
    for (const words of [
      'The strap caught the ear.',
      'Also reviewer B: I saw it too.',
      MEASURES,
      '2 of 4 seats that take part in trials acknowledged this text',
      'Did not: reviewer B and reviewer C.',
      'told by reviewer B; no reason was asked',
      `Earlier trials were taken out, decided by the moderator: ${LEFT_OUT}`,
      INCIDENT.what,
      'Medical direction was not informed.',
    ]) {
      expect(section).toContain(words);
    }
    const deviations = JSON.stringify(record.sections.find((s) => s.id === 'deviations'));
    expect(deviations).toContain('The day was stopped once.');
    expect(record.checklist.find((i) => i.id === 'R22')).toMatchObject({
      status: 'present',
      place: 'safety',
    });
  });

  test('SD-9: a day on which nothing happened says so', async () => {
    const { bytes } = await lockedBundle();
    const section = JSON.stringify(buildRecord(bytes).sections.find((s) => s.id === 'safety'));
    expect(section).toContain('Nobody stopped the day');
    expect(section).toContain('0 of 4 seats');
    expect(section).toContain('No incident was noted.');
  });
});
