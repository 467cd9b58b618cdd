import { describe, expect, test } from 'vitest';
import type { BoardEntry, EvaluationEvent } from '../../../shared-types/src/index.ts';
import { commitWrites } from '../../../server/src/flows/commit-writes.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { exportFiles } from '../../../server/src/report/open-data/export-files.ts';
import { recordOf } from '../../../server/src/report/build-record.ts';
import { readSource } from '../../../server/src/report/record-source.ts';
import { gateFaults } from '../../../server/src/verify/gates.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import {
  entryKey,
  FACE_MASK,
  failed,
  protocol,
  seatOf,
  trial,
  trialSource,
} from '../../support/trials.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

const bench = async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 3);
  const recorder = await p.sit('recorder', 'Ria');
  const live = await p.live();
  const board = live.state.created?.board ?? '';
  const homes = new Map([[board, live]]);
  /** Keeps entries of a seat, each a write of its own; returns their keys. */
  const enter = async (who: Identity, ...entries: BoardEntry[]) => {
    const keys = entries.map(() => entryKey(who.seat));
    const writes = entries.map((entry, i) => ({
      document: board,
      seat: who.seat,
      device: who.device,
      bytes: Uint8Array.of(1),
      newClients: [],
      entries: [{ key: keys[i] ?? '', value: JSON.stringify(entry) }],
    }));
    return { keys, outcomes: await commitWrites(app, homes, writes) };
  };
  return { app, p, recorder, live, enter };
};

/** A whole evaluation with trials of every kind, locked. */
const locked = async () => {
  const world = await bench();
  const { app, p, recorder, enter } = world;
  const { moderator, reviewers } = p;
  accepted(await p.act(moderator, { type: 'start-round' }));
  const { keys } = await enter(
    recorder,
    failed(),
    // Marked as met by mistake: the time says otherwise, and stands.
    trial({
      operator: 'K2',
      seconds: '44.4',
      criterion: true,
      measures: [{ measure: 'theta_max', value: '12.5', counts: null }],
      sources: [trialSource('theta_max')],
    }),
    trial({ operator: 'K3', seconds: '9' }),
    trial({ condition: 'reference', criterion: null, seconds: '3.2' }),
    trial({ task: 'wear-comfort', criterion: null, seconds: null }),
    trial({ task: 'helmet-removal', state: 'mask-removed', seconds: '31' }),
    failed({ operator: 'K4', criterion: null }),
  );
  await enter(recorder, trial({ operator: 'K3', seconds: '90.5', replaces: keys[2] ?? '' }));
  const void1 = { kind: 'trial-void', task: FACE_MASK, reason: 'The tool fell.' } as const;
  const spare = await enter(recorder, trial({ seconds: '1' }));
  await enter(moderator, { ...void1, trial: spare.keys[0] ?? '', at: '2026-03-02T09:10:00.000Z' });
  for (const [i, who] of reviewers.entries())
    await p.rate(who, { [FACE_MASK]: i, 'wear-comfort': 5 });
  accepted(await p.act(moderator, { type: 'open-round', withMissing: true }));
  accepted(
    await p.act(moderator, { type: 'decide-gate', task: FACE_MASK, confirm: true, reason: REASON }),
  );
  const settle = { type: 'settle-task', how: 'leave-open', value: null, reason: REASON } as const;
  for (const task of [FACE_MASK, 'wear-comfort'])
    accepted(await p.act(moderator, { ...settle, task }));
  accepted(await p.act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(app, await p.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  const events = (await app.store.events(p.evaluation)).map(
    (t) => JSON.parse(t) as EvaluationEvent & { actor: string },
  );
  return { ...world, bytes: bundle.value, events };
};

test('TR-2 GA-3 LK-2: an evaluation with trials locks, verifies, and says what the trials said', async () => {
  const { bytes, events } = await locked();
  const checked = verifyBundle(bytes);
  expect(checked.findings).toEqual([]);
  expect(events.find((e) => e.type === 'gate-decided')?.data).toMatchObject({
    backedByTrials: true,
  });
  const result = checked.facts?.result;
  expect(result?.evidence).toMatchObject([
    // A single trial without a criterion: too few to speak against the ratings at the worst point.
    {
      task: 'wear-comfort',
      valid: 1,
      done: 1,
      medianSeconds: { undefinedBecause: 'no timed trial' },
      criterion: null,
    },
    {
      task: FACE_MASK,
      valid: 4,
      done: 2,
      medianSeconds: { undefinedBecause: 'half of the trials or more were not done' },
      criterion: 'met',
    },
  ]);
  // Reviewers rated 0, 1 and 2; the criterion is met, so the task diverges although they nearly agree.
  expect(result?.tasks.find((t) => t.task === FACE_MASK)?.divergent).toBe(true);
  expect(result?.tasks.find((t) => t.task === 'wear-comfort')?.divergent).toBe(false);
});

test('SR-5: the record names the file that a value came from, and the open data how it was read', async () => {
  const { bytes } = await locked();
  const source = readSource(bytes);
  const told = JSON.stringify(recordOf(source).sections.find((s) => s.id === 'evidence')?.blocks);
  const read = `62 rows, read by unhindered 0.1.0, SHA-256 ${'ab'.repeat(32)}`;
  expect(told).toContain(
    `operator K2: Largest helical angle from the start pose from press.csv (${read})`,
  );
  const trials = exportFiles(source).find((f) => f.name === 'trials.csv')?.text ?? '';
  expect(trials).toContain('gave theta_max; read as {""kind"":""manikin""');
});

test('the record tells what the trials said, and which were set aside', async () => {
  const { bytes } = await locked();
  const source = readSource(bytes);
  expect(source.trials.map((t) => t.status)).toEqual([
    ...Array<string>(2).fill('counts'),
    'corrected',
    ...Array<string>(5).fill('counts'),
    'void',
  ]);
  const section = recordOf(source).sections.find((s) => s.id === 'evidence');
  const told = JSON.stringify(section?.blocks);
  expect(told).toContain('2 of 4');
  expect(told).toContain('half of the trials or more were not done');
  expect(told).toContain('The tool fell.');
  expect(told).toContain(
    'In 1 trial the recorder marked the other thing; the measured value counts.',
  );
  const curve = section?.blocks.find((b) => b.kind === 'curve');
  // Two of four first attempts got there, at 44.4 and 90.5 s; nobody tried the cutter.
  expect(curve?.curve.map((p) => [p.seconds, p.probability])).toEqual([
    [0, 0],
    [44.4, 0.25],
    [90.5, 0.5],
  ]);
  expect(told).toContain('Not done in time'.toLowerCase());
  expect(told).toMatch(/lower bounds/u);
  expect(told).toMatch(/drawn again 2000 times, seed 5/u);
  expect(told).not.toContain('No trials were recorded');
});

describe('the verifier holds decisions against the trials', () => {
  type Logged = Awaited<ReturnType<typeof locked>>['events'];
  const faultsOf = (events: Logged, p: typeof protocol) =>
    gateFaults(
      events.map((event) => ({ event, actor: event.actor })),
      p,
    );

  test('a decision that says otherwise than the trials, or is missing, is found', async () => {
    const { events } = await locked();
    expect(faultsOf(events, protocol)).toBeUndefined();
    const at = events.findIndex((e) => e.type === 'gate-decided');
    const lie = events.map((e) =>
      e.type === 'gate-decided' ? { ...e, data: { ...e.data, backedByTrials: false } } : e,
    );
    expect(faultsOf(lie, protocol)).toMatchObject({ seq: at, fault: /do not back it/u });
    const without = events.filter((e) => e.type !== 'gate-decided');
    expect(faultsOf(without, protocol)).toMatchObject({ fault: /undecided/u });
    const voided = events.filter(
      (e) => !(e.type === 'entry-posted' && e.data.entry.kind === 'trial'),
    );
    expect(faultsOf(voided, protocol)).toMatchObject({ fault: /back it, and they do not/u });
  });

  test('a trial of another protocol is found', async () => {
    const { events } = await locked();
    const strange = events.map((e) =>
      e.type === 'entry-posted' && e.data.entry.kind === 'trial'
        ? { ...e, data: { ...e.data, entry: { ...e.data.entry, state: 'none-such' } } }
        : e,
    );
    expect(faultsOf(strange, protocol)?.fault).toMatch(/state that is not there/u);
  });
});

describe('BO-1 BO-2 TR-1: trials on their way into the log', () => {
  test('a sealed round does not stop them, a wrong one is not kept, the lock ends them', async () => {
    const { p, recorder, live, enter } = await bench();
    accepted(await p.act(p.moderator, { type: 'start-round' }));
    const beyond = trial({ measures: [{ measure: 'rpe', value: '11', counts: null }] });
    const { outcomes } = await enter(recorder, trial(), beyond, failed());
    expect(outcomes).toEqual(['kept', 'frozen', 'kept']);
    expect([...live.state.trials.values()].map((t) => t.entry.done)).toEqual([true, false]);
    const stranger = seatOf('z');
    const foreign = await enter(recorder, trial({ replaces: entryKey(stranger) }));
    expect(foreign.outcomes).toEqual(['frozen']);
    accepted(await p.act(p.moderator, { type: 'withdraw', reason: REASON }));
    expect((await enter(recorder, trial())).outcomes).toEqual(['frozen']);
    expect(live.state.trials.size).toBe(2);
  });
});
