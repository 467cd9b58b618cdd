import type { Protocol } from '@unhindered/shared-types';
import { sha256Hex } from '../audit/sha256.ts';
import { protocolOf, type App, type LivePanel } from './app.ts';

/** SD-3: what an acknowledgement names: SHA-256 of the very words of the protocol's session caution, as UTF-8. */
export const briefingOf = ({ cautions }: Protocol): string => sha256Hex(cautions.session);

/** The briefings of a panel: of each protocol that one of its evaluations is under. */
export const briefingsOf = async (app: App, panel: LivePanel): Promise<string[]> => {
  const found = new Set<string>();
  for (const { evaluation } of panel.state.evaluations) {
    const live = await app.logs.evaluation(evaluation);
    if (live) found.add(briefingOf(protocolOf(app, live.state).protocol));
  }
  return [...found];
};
