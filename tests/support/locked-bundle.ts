import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import type { Store } from '../../server/src/ports/store.ts';
import { accepted, seatedPanel, type SeatedPanel } from './seated-panel.ts';
import { testApp, type TestApp } from './test-app.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

/** Ratings by task; what is missing was not rated. */
type Plan = Record<string, number | string>;

/**
 * Three reviewers, A with a tie to the mask cutter. Only tasks of sections A (weight 6), D (14) and E (13) are
 * rated, so that the composite can be worked out by hand.
 */
export const PLANS: readonly Plan[] = [
  {
    'fit-retention': 0,
    'wear-comfort': 1,
    'airway-open': 2,
    'fm-tool-first': 5,
    'fm-cut-backup': 5,
  },
  {
    'fit-retention': 1,
    'wear-comfort': 1,
    'airway-open': 2,
    'fm-tool-first': 1,
    'fm-cut-backup': 1,
  },
  {
    'fit-retention': 2,
    'wear-comfort': 1,
    'airway-open': 4,
    'fm-tool-first': 2,
    'fm-cut-backup': 2,
  },
];

export interface Locked extends TestApp {
  panel: SeatedPanel;
  bytes: Uint8Array;
  key: string;
}

/**
 * Plays an evaluation to its lock in memory: a tie, a second round, a half point, an open task, a gate.
 * `whileSealed` runs while its first round is sealed; `registered`: its
 * specimen is in the register and is corrected there; `unfitted`:
 * the reason to go without a fit check.
 */
export const lockedBundle = async (
  store?: Store,
  whileSealed: (test: TestApp, panel: SeatedPanel) => Promise<void> = () => Promise.resolve(),
  registered = false,
  unfitted: string | null = null,
): Promise<Locked> => {
  const test = testApp(store);
  const { app } = test;
  const panel = await seatedPanel(app, 3, { registered, fitted: unfitted === null });
  const { moderator, reviewers, act } = panel;
  const [a] = reviewers;
  if (!a) throw new Error('nobody is seated');
  await panel.declare(a, [
    { to: 'tool', tool: 'mask-cutter', detail: 'Advice to a cutter seller.' },
  ]);
  if (unfitted !== null) accepted(await act(moderator, { type: 'override-fit', reason: unfitted }));
  accepted(await act(moderator, { type: 'start-round' }));
  await whileSealed(test, panel);
  for (const [i, who] of reviewers.entries()) await panel.rate(who, PLANS[i] ?? {});
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(moderator, { type: 'call-round', tasks: ['fm-tool-first'], reason: null }));
  await panel.rate(a, { 'fm-tool-first': 4 }, 2);
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  const settle = { type: 'settle-task' as const, reason: REASON };
  accepted(await act(moderator, { ...settle, task: 'fm-tool-first', how: 'decide', value: '2.5' }));
  accepted(
    await act(moderator, { ...settle, task: 'airway-open', how: 'leave-open', value: null }),
  );
  const live = await panel.live();
  for (const task of ['fit-retention', 'wear-comfort', 'fm-cut-backup']) {
    if (live.state.settled.has(task)) continue;
    accepted(await act(moderator, { ...settle, task, how: 'adopt', value: null, reason: null }));
  }
  for (const task of ['fm-tool-first', 'fm-cut-backup']) {
    const gate = await act(moderator, {
      type: 'decide-gate',
      task,
      confirm: task === 'fm-tool-first',
      reason: REASON,
    });
    // Only owed where a counted rating stood at the worst point.
    if (!gate.ok && gate.rejection.code !== 'nothing-to-decide') accepted(gate);
  }
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return { ...test, panel, bytes: bundle.value, key: verifierKey(app.signer) };
};
