import type { FirstLookAnswer } from '@unhindered/shared-types';
import { wholeDocument } from '../documents/whole-document.ts';
import type { EvaluationState } from '../evaluation/state.ts';
import { audienceOf, documentMode, seesRatings, type Audience } from '../evaluation/visibility.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';
import { evaluationSlices, ownSlice } from './look.ts';

/** Who else is there is told by the panel's socket. */
const nobody = (): boolean => false;

/** Before the first opening, and for whoever has not handed in yet, there are no ratings to see. */
const seesNone = (state: EvaluationState, audience: Audience): boolean =>
  !seesRatings(audience) || state.rounds.every((r) => r.openedAt === null);

/** The sheet that a seat rates on right now; undefined when it rates nothing that nobody has seen. */
const sheetOf = (app: App, live: LiveEvaluation, seat: string): string | undefined => {
  const audience = audienceOf(live.state, seat);
  if (!audience || !seesNone(live.state, audience) || app.readOnly !== null) return undefined;
  const document = live.state.rounds.at(-1)?.sheets.get(seat);
  if (document === undefined) return undefined;
  const { protocol } = protocolOf(app, live.state);
  return documentMode(live.state, document, seat, protocol) === 'write' ? document : undefined;
};

/**
 * FL-1: a first look is for the owner of a sheet that may be written now, and holds no rating of anybody else: the view
 * is the one that the socket gives the same seat, the document the one it would get a ticket for, as it is on disk.
 * Null for everybody else.
 */
export const firstLook = async (
  app: App,
  live: LiveEvaluation,
  seat: string,
): Promise<FirstLookAnswer['look']> => {
  const document = sheetOf(app, live, seat);
  const stored = document === undefined ? undefined : await app.store.load(document);
  if (document === undefined || !stored) return null;
  const sheet = Buffer.from(wholeDocument(stored)).toString('base64');
  const audience = audienceOf(live.state, seat);
  const slices = audience && (await evaluationSlices(app, live, audience, nobody));
  const me = ownSlice(app, live, seat, nobody);
  // Opened, or shown out, while it was read: the socket says what there is to see now.
  if (!slices || !me || sheetOf(app, live, seat) !== document) return null;
  return { view: { ...slices, me }, document, sheet };
};
