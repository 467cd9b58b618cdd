import { lockedBundle, type Locked } from './locked-bundle.ts';
import { accepted, seatedPanel, type SeatedPanel } from './seated-panel.ts';

/** A reason that is long enough for a decision that binds the panel. */
export const REASON = 'The hardware was not the one that is sold today.';

/** Locks a plain evaluation: three reviewers, one task rated. */
export const lockPlain = async (panel: SeatedPanel): Promise<void> => {
  const { moderator, reviewers, act } = panel;
  accepted(await act(moderator, { type: 'start-round' }));
  for (const who of reviewers) await panel.rate(who, { 'pulse-check': 1 });
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
};

/** A locked record, and one more that was locked a day later. */
export const twoRecords = async (): Promise<Locked & { later: SeatedPanel }> => {
  const first = await lockedBundle();
  first.clock.advance(24 * 3600_000);
  const later = await seatedPanel(first.app, 3);
  await lockPlain(later);
  return { ...first, later };
};
