import { verifierKey } from '../../server/src/audit/signed-note.ts';
import type { App, Identity } from '../../server/src/flows/app.ts';
import { commitWrites } from '../../server/src/flows/commit-writes.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import type { BoardEntry, TrialVoid } from '../../shared-types/src/index.ts';
import { MEASURED_RATINGS, measuredTrials, trialsOfModels } from './measured-trials.ts';
import { accepted, seatedPanel, type SeatedPanel } from './seated-panel.ts';
import { testApp } from './test-app.ts';
import { entryKey, FACE_MASK, failed, trial } from './trials.ts';
import type { Shown } from './two-verifiers.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

/** Keeps board entries of a seat, each a write of its own; returns their keys. */
export type Enter = (who: Identity, ...entries: BoardEntry[]) => Promise<string[]>;

export const enterOn = async (app: App, p: SeatedPanel): Promise<Enter> => {
  const live = await p.live();
  const board = live.state.created?.board ?? '';
  return async (who, ...entries) => {
    const keys = entries.map(() => entryKey(who.seat));
    const outcomes = await commitWrites(
      app,
      new Map([[board, live]]),
      entries.map((entry, i) => ({
        document: board,
        seat: who.seat,
        device: who.device,
        bytes: Uint8Array.of(1),
        newClients: [],
        entries: [{ key: keys[i] ?? '', value: JSON.stringify(entry) }],
      })),
    );
    const lost = outcomes.findIndex((o) => o !== 'kept');
    if (lost >= 0) throw new Error(`entry ${String(lost)} was not kept`);
    return keys;
  };
};

const voidOf = (key: string | undefined): TrialVoid => ({
  kind: 'trial-void',
  task: FACE_MASK,
  trial: key ?? '',
  reason: 'The tool fell.',
  at: '2026-03-02T09:10:00.000Z',
});

/** Trials of the face mask: every condition, corrections of corrections, voids by the author and by the moderator. */
const faceMask = async (
  enter: Enter,
  { moderator }: SeatedPanel,
  recorder: Identity,
  operator: Identity,
): Promise<void> => {
  const splits = [
    { label: 'first clip', seconds: '60' },
    { label: '', seconds: '60' },
    { label: 'last clip', seconds: '172.5' },
  ];
  const [, , slip] = await enter(
    recorder,
    failed({ splits }),
    failed({ operator: 'K2', note: 'The second clip broke.' }),
    trial({ operator: 'K3', seconds: '9' }),
    trial({ condition: 'reference', criterion: null, seconds: '3.2' }),
    trial({ condition: 'practice', seconds: '12' }),
    failed({ condition: 'hidden-fault' }),
    failed({ state: 'mask-removed' }),
  );
  const corrected = { operator: 'K3', replaces: slip ?? null };
  await enter(recorder, trial({ ...corrected, seconds: '90.5' }));
  await enter(
    recorder,
    trial({ ...corrected, seconds: '88.25', note: 'Read again off the clip.' }),
  );
  const shares = [
    { measure: 's_fm', value: '75', counts: { successes: 3, of: 4 } },
    { measure: 'rpe', value: '6.5', counts: null },
  ];
  const nothing = entryKey(operator.seat);
  const [, , own, foreign] = await enter(
    operator,
    trial({ operator: 'K-4', seconds: '44.4', measures: shares }),
    trial({ operator: '5', seconds: null, criterion: null }),
    failed({ operator: 'K6' }),
    failed({ operator: 'K7' }),
    trial({ operator: 'K8', state: 'strap-released', replaces: nothing }),
  );
  await enter(operator, voidOf(own), voidOf(nothing));
  await enter(moderator, voidOf(foreign));
  await enter(operator, failed({ operator: 'K7', seconds: '179', replaces: foreign ?? null }));
};

/** Tasks whose trials agree and disagree with their ratings, each in its way; the face mask meets its criterion. */
const RATED: Record<string, readonly number[]> = {
  // Met, and rated in the better half.
  [FACE_MASK]: [0, 1, 2],
  // Met, and rated in the worse half: nothing speaks against it.
  'chest-access': [3, 3, 3],
  // Every trial done, and rated at the worst point; the first of them has no criterion.
  'wear-comfort': [5, 5, 5],
  'helmet-removal': [5, 4, 4],
  // A single trial is not enough, until there is another.
  'fm-cut-backup': [5, 5, 4],
  // No trial at all.
  'pulse-check': [1, 1, 2],
  ...MEASURED_RATINGS,
};

const otherTasks = (enter: Enter, recorder: Identity): Promise<string[]> => {
  const comfort = { task: 'wear-comfort', criterion: null, seconds: null };
  const helmet = { task: 'helmet-removal', state: 'strap-released' };
  return enter(
    recorder,
    trial(comfort),
    trial({ ...comfort, operator: 'K2', seconds: '301.001' }),
    trial({ ...helmet, seconds: '31' }),
    trial({ ...helmet, seconds: '45.5', operator: 'K2' }),
    failed({ task: 'chest-access' }),
    failed({ task: 'chest-access', operator: 'K2', seconds: '181' }),
    trial({ task: 'chest-access', operator: 'K3', seconds: '40' }),
    failed({ task: 'fm-cut-backup' }),
  );
};

/** Decides on the gates: one is rejected, and again when the trials come to meet its criterion. */
const decideGates = async (enter: Enter, p: SeatedPanel, recorder: Identity): Promise<void> => {
  const decide = async (task: string, confirm: boolean): Promise<void> =>
    accepted(await p.act(p.moderator, { type: 'decide-gate', task, confirm, reason: REASON }));
  await decide('fm-cut-backup', false);
  await decide('helmet-removal', false);
  for (const task of ['chest-access', ...Object.keys(MEASURED_RATINGS)]) await decide(task, false);
  await decide(FACE_MASK, true);
  await enter(recorder, failed({ task: 'fm-cut-backup', operator: 'K2' }));
  await decide('fm-cut-backup', true);
};

/** A locked record with trials of every kind, and what they do to gates and ratings. */
export const recordWithTrials = async (): Promise<Shown> => {
  const { app } = testApp();
  const p = await seatedPanel(app, 3);
  const recorder = await p.sit('recorder', 'Ria');
  const operator = await p.sit('operator', 'Olu');
  const enter = await enterOn(app, p);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  await faceMask(enter, p, recorder, operator);
  await otherTasks(enter, recorder);
  await enter(recorder, ...measuredTrials);
  await trialsOfModels(p, recorder, enter);
  for (const [i, who] of p.reviewers.entries()) {
    const steps = Object.entries(RATED).map(([task, row]) => [task, row[i] ?? 0] as const);
    await p.rate(who, Object.fromEntries(steps));
  }
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  const remark = {
    kind: 'remark',
    task: FACE_MASK,
    text: 'See the clip.',
    replaces: null,
  } as const;
  const [author] = p.reviewers;
  if (author) await enter(author, { ...remark, at: '2026-03-02T09:20:00.000Z' });
  await decideGates(enter, p, recorder);
  const settle = { type: 'settle-task', how: 'leave-open', value: null, reason: REASON } as const;
  for (const task of Object.keys(RATED)) accepted(await p.act(p.moderator, { ...settle, task }));
  accepted(await p.act(p.moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(app, await p.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return { bytes: bundle.value, key: verifierKey(app.signer), signer: app.signer };
};
