import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { protocolText } from '../../server/src/protocol/protocol-text.ts';
import type { EndorsementRule, Protocol } from '../../shared-types/src/index.ts';
import { accepted, seatedPanel, type SeatedPanel } from './seated-panel.ts';
import { testApp, type TestApp } from './test-app.ts';
import type { Shown } from './two-verifiers.ts';

/** What each of four reviewers says: null says nothing; `tied` has a tie to a tool. */
export interface Saying {
  content: boolean | null;
  tied?: boolean;
  /** What they rated; without it they rated nothing. */
  step: number | null;
}

export interface EndorsedDay extends TestApp {
  panel: SeatedPanel;
  protocol: Protocol;
  /** The day as it is, locked or not. */
  lock: () => Promise<Shown>;
}

/** An opened evaluation of two tasks (sections of weights 20 and 14) under a protocol with a rule for endorsements. */
export const endorsedDay = async (
  rule: EndorsementRule | undefined,
  sayings: readonly Saying[],
): Promise<EndorsedDay> => {
  const test = testApp();
  const { app } = test;
  let used: Protocol | undefined;
  for (const [key, { protocol }] of app.protocols) {
    const own: Protocol = { ...protocol, ...(rule ? { endorsement: rule } : {}) };
    app.protocols.set(key, { ...app.protocols.get(key), protocol: own, ...protocolText(own) });
    used = own;
  }
  if (!used) throw new Error('there is no protocol');
  const panel = await seatedPanel(app, sayings.length);
  const { moderator, reviewers, act } = panel;
  const cutter = { to: 'tool' as const, tool: 'mask-cutter', detail: 'Advice to a seller.' };
  for (const [i, who] of reviewers.entries()) {
    if (sayings[i]?.tied) await panel.declare(who, [cutter]);
  }
  accepted(await act(moderator, { type: 'start-round' }));
  for (const [i, who] of reviewers.entries()) {
    const step = sayings[i]?.step ?? null;
    if (step !== null) await panel.rate(who, { 'pulse-check': step, 'airway-open': 1 });
  }
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  for (const [i, who] of reviewers.entries()) {
    const content = sayings[i]?.content ?? null;
    const reason = 'Said at the bench, for a reason.';
    if (content !== null) accepted(await act(who, { type: 'endorse', content, reason }));
  }
  const lock = async (): Promise<Shown> => {
    accepted(await act(moderator, { type: 'adopt-undisputed' }));
    accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
    const bundle = await exportBundle(app, await panel.live());
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    return { bytes: bundle.value, key: verifierKey(app.signer), signer: app.signer };
  };
  return { ...test, panel, protocol: used, lock };
};
