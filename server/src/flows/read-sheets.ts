import { sheetKey } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';
import { sha256Hex } from '../audit/sha256.ts';
import { SheetHistory } from '../documents/sheet-history.ts';
import type { OpenedSheet } from '../evaluation/decide.ts';
import { heldRemarks, ratingsFromSheet } from '../evaluation/sheet-ratings.ts';
import type { RoundState } from '../evaluation/state.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';
import { eachInTurns, turnFor } from './in-turns.ts';

/** A sheet as it was read, and how many updates that was. */
export interface ReadSheet {
  sheet: OpenedSheet;
  document: string;
  updates: number;
}

/** SE-11: stops writing to these sheets at once, and resolves when everything received before is on disk. */
export const freezeSheets = async (app: App, documents: readonly string[]): Promise<void> => {
  for (const id of documents) app.rooms.get(id)?.freeze();
  await app.rooms.flush();
};

export const unfreezeSheets = (app: App, documents: readonly string[]): void => {
  for (const id of documents) app.rooms.get(id)?.unfreeze();
};

/**
 * AU-6: reads one frozen sheet from the store. The digest is SHA-256 over the canonical JSON of evaluation, nonce,
 * ratings, round and seat; the owner keeps it, and anyone can check it later.
 */
const readSheet = async (
  app: App,
  live: LiveEvaluation,
  round: RoundState,
  seat: string,
  document: string,
): Promise<ReadSheet> => {
  const stored = await app.store.load(document);
  if (!stored) throw new Error(`sheet ${document} is not in the store`);
  const history = new SheetHistory();
  await eachInTurns(
    stored.updates,
    () => 1,
    ({ bytes }) => history.take(bytes),
  );
  const { values, changed } = history;
  const { protocol } = protocolOf(app, live.state);
  const ratings = ratingsFromSheet(values, protocol, round.tasks).map(({ task, rating }) => ({
    task,
    rating,
    changed: changed.has(sheetKey(task, 'answer')),
  }));
  await turnFor(ratings, () => 1);
  const nonce = app.ids.nonce();
  const digest = sha256Hex(
    canonicalText({ evaluation: live.id, nonce, ratings, round: round.number, seat }),
  );
  const sheet = { seat, ratings, remarks: heldRemarks(values), nonce, digest };
  return { sheet, document, updates: stored.updates.length };
};

/** Reads the sheets of the given seats of a round; seats that have not declared have nothing to read. */
export const readSheets = async (
  app: App,
  live: LiveEvaluation,
  round: RoundState,
  seats: readonly string[],
): Promise<ReadSheet[]> => {
  const read: ReadSheet[] = [];
  await turnFor(seats, () => round.tasks.length);
  await eachInTurns(
    seats,
    () => round.tasks.length,
    async (seat) => {
      const document = round.sheets.get(seat);
      if (document !== undefined) read.push(await readSheet(app, live, round, seat, document));
    },
  );
  return read;
};
