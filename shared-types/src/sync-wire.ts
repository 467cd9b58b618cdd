/** Own message type of the document socket: how many sync writes of this connection are on disk. */
export const SAVED_FRAME = 64;

/** Whether an outgoing frame is a sync write (step 2 or update), which the server acknowledges when it is kept. */
export const isSyncWrite = (frame: Uint8Array): boolean => frame[0] === 0 && frame[1] !== 0;
