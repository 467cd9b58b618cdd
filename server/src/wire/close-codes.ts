/**
 * Close codes of the document socket. The stock client treats 4400 to 4499 as final and tries again after any
 * other code.
 */
export const CLOSE = {
  /** A frame is larger than allowed (RFC 6455, 7.4.1: message too big): nothing of it was taken. */
  tooBig: 1009,
  /** The ticket or the session is not valid: get a new ticket, then connect. */
  unauthenticated: 4401,
  /** An update was refused: discard the local document, keep its values as a draft, load anew. */
  refused: 4403,
  /** No such document for this seat; the same answer whether it exists or not. */
  gone: 4404,
  /** The document is frozen (its round was opened, or the evaluation is locked): it can be read, not written. */
  frozen: 4409,
  /** The frame is not one of the protocol. */
  malformed: 4422,
  /** The server could not keep the document; try again. */
  tryAgain: 4500,
  /** The server is going away; try again. */
  goingAway: 4503,
  /** Too many writes in a short time; try again more slowly. */
  tooFast: 4529,
} as const;

export type CloseCode = (typeof CLOSE)[keyof typeof CLOSE];
