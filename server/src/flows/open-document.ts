import { boardRule, BOARD_LIMITS, sheetRule, SHEET_LIMITS } from '../documents/rules.ts';
import type { Room } from '../documents/room.ts';
import { boardEntryFault } from '../evaluation/bench.ts';
import {
  documentKind,
  documentMode,
  mayTalkAbout,
  type DocumentMode,
} from '../evaluation/visibility.ts';
import { protocolOf, type App, type LiveEvaluation } from './app.ts';

/** A live room, the evaluation it belongs to, and how a seat may use it now. */
export interface OpenedDocument {
  room: Room;
  live: LiveEvaluation;
  mode: (seat: string) => DocumentMode;
}

/** Opens a document of an evaluation for a seat; undefined when there is none for it, for whatever reason. */
export const openDocument = async (
  app: App,
  live: LiveEvaluation,
  document: string,
  seat: string,
  homes: Map<string, LiveEvaluation>,
): Promise<OpenedDocument | undefined> => {
  const what = documentKind(live.state, document);
  const { protocol } = protocolOf(app, live.state);
  if (!what || documentMode(live.state, document, seat, protocol) === 'none') return undefined;
  homes.set(document, live);
  const room = await app.rooms.open(document, () => {
    return what.kind === 'sheet'
      ? { rule: sheetRule(protocol), limits: SHEET_LIMITS }
      : {
          rule: boardRule(protocol, {
            open: (task) => mayTalkAbout(live.state, task),
            fault: (author, entry) => boardEntryFault(live.state, protocol, author, entry),
          }),
          limits: BOARD_LIMITS,
        };
  });
  if (app.shared) await app.rooms.follow(document);
  const mode = (who: string): DocumentMode => {
    const may = documentMode(live.state, document, who, protocol);
    // Nothing is kept on a store that cannot be believed: say so now, not at the first edit.
    return may === 'write' && app.readOnly !== null ? 'read' : may;
  };
  return room && { room, live, mode };
};
