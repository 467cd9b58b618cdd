import { boardRule, BOARD_LIMITS, sheetRule, SHEET_LIMITS } from '../documents/rules.ts';
import type { Room } from '../documents/room.ts';
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
  if (!what || documentMode(live.state, document, seat) === 'none') return undefined;
  homes.set(document, live);
  const room = await app.rooms.open(document, () => {
    const { protocol } = protocolOf(app, live.state);
    return what.kind === 'sheet'
      ? { rule: sheetRule(protocol), limits: SHEET_LIMITS }
      : {
          rule: boardRule(protocol, (task) => mayTalkAbout(live.state, task)),
          limits: BOARD_LIMITS,
        };
  });
  const mode = (who: string): DocumentMode => {
    const may = documentMode(live.state, document, who);
    // Nothing is kept on a store that cannot be believed: say so now, not at the first edit.
    return may === 'write' && app.readOnly !== null ? 'read' : may;
  };
  return room && { room, live, mode };
};
