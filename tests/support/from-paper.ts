import { createHash } from 'node:crypto';
import type { CommandAnswer } from '../../shared-types/src/index.ts';
import { verifierKey } from '../../server/src/audit/signed-note.ts';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { importPaper } from '../../server/src/flows/import-paper.ts';
import type { App, Identity } from '../../server/src/flows/app.ts';
import { accepted, CLIENT_AT, commandId, seatedPanel, type SeatedPanel } from './seated-panel.ts';
import { testApp } from './test-app.ts';

export const sha = (csv: string): string => createHash('sha256').update(csv).digest('hex');

/** Who is who: null makes a seat from paper. */
export type Who = Record<string, string | null>;

/** Brings a file in as the moderator, or as `who`. */
export const bringIn = async (
  app: App,
  panel: SeatedPanel,
  csv: string,
  seats: Who,
  more: { withoutFaulty?: boolean; who?: Identity; id?: string; sha256?: string } = {},
): Promise<CommandAnswer> => {
  const {
    withoutFaulty = false,
    who = panel.moderator,
    id = commandId(),
    sha256 = sha(csv),
  } = more;
  const command = {
    type: 'import-ratings' as const,
    file: 'paper day.csv',
    sha256,
    withoutFaulty,
    seats: Object.entries(seats).map(([reviewer, seat]) => ({ reviewer, seat })),
  };
  const message = { id, clientAt: CLIENT_AT, command };
  return importPaper(app, await panel.live(), who, message, new TextEncoder().encode(csv));
};

export const PAPER_CSV = `task,reviewer,rating,round,reason
airway-open,Ana,2,1,
airway-open,Ben,3,1,
airway-open,Ana,3,2,
fit-retention,Ana,1,1,
fit-retention,Ben,1,1,
fit-retention,Reviewer 1,1,1,
pulse-check,Ben,n/a,1,No place to feel it
`;

/** A locked evaluation whose ratings came from paper: two seats from paper, one matched. */
export const lockedFromPaper = async () => {
  const test = testApp();
  const { app } = test;
  const panel = await seatedPanel(app, 2);
  const [first] = panel.reviewers;
  if (!first) throw new Error('nobody is seated');
  accepted(
    await bringIn(app, panel, PAPER_CSV, { Ana: null, Ben: null, 'Reviewer 1': first.seat }),
  );
  const { moderator, act } = panel;
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return { ...test, panel, bytes: bundle.value, key: verifierKey(app.signer), signer: app.signer };
};
