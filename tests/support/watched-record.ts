import { Readable } from 'node:stream';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { beginUpload } from '../../server/src/flows/media.ts';
import { movieByHand } from './media-by-hand.ts';
import { accepted, seatedPanel, type SeatedPanel } from './seated-panel.ts';
import { testApp, type TestApp } from './test-app.ts';
import type { Shown } from './two-verifiers.ts';

/** Two reviewers in the room, one far away, and a clip; the round is sealed. */
export const watchedPanel = async (): Promise<{
  test: TestApp;
  panel: SeatedPanel;
  clip: string;
}> => {
  const test = testApp();
  const panel = await seatedPanel(test.app, 3);
  const { moderator, act } = panel;
  const file = movieByHand();
  const begun = await beginUpload(
    test.app,
    { log: panel.evaluation, seat: moderator.seat },
    file.length,
  );
  if (!begun.ok) throw new Error(begun.rejection.message);
  const clip = begun.value;
  await test.app.media.append(clip, 0, Readable.from([file]));
  accepted(
    await act(moderator, {
      type: 'attach-media',
      media: clip,
      place: { of: 'task', task: 'airway-open' },
      description: 'The jaw from the left',
      withoutFaces: true,
    }),
  );
  accepted(await act(moderator, { type: 'start-round' }));
  return { test, panel, clip };
};

/** The record of such a panel: the first two were in the room, the third played the clip and rated a task of feel. */
export const watchedRecord = async (): Promise<Shown> => {
  const { test, panel, clip } = await watchedPanel();
  const { moderator, reviewers, act } = panel;
  for (const [i, who] of reviewers.entries()) {
    const how = i < 2 ? 'present' : 'live-elsewhere';
    accepted(await act(who, { type: 'state-observation', how }));
    await panel.rate(who, { 'airway-open': 1, 'pulse-check': 1 });
  }
  const [, , far] = reviewers;
  if (!far) throw new Error('nobody is seated');
  accepted(await act(far, { type: 'watch-clip', media: clip }));
  accepted(await act(far, { type: 'state-observation', how: 'recorded' }));
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(test.app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  const { signer } = test.app;
  return { bytes: bundle.value, key: verifierKey(signer), signer };
};
