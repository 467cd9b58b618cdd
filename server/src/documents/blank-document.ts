import * as Y from 'yjs';

/**
 * A document with nothing in it yet. Nothing here goes by Yjs' name of a document, a UUID that costs a third of a
 * millisecond of random bytes: it is left empty.
 */
export const blankDocument = (): Y.Doc => new Y.Doc({ guid: '' });
