/**
 * The build takes this in the place of y-protocols' awareness: who is there is the server's own word, by seat, and a
 * device neither tells nor keeps any of it over a document's socket.
 */
export class Awareness {
  readonly on = (): void => undefined;
  readonly off = (): void => undefined;
  readonly destroy = (): void => undefined;
  readonly getLocalState = (): null => null;
  readonly setLocalState = (): void => undefined;
  readonly getStates = (): Map<number, never> => new Map<number, never>();
}

/** The states of nobody: a count of zero. */
export const encodeAwarenessUpdate = (): Uint8Array => new Uint8Array([0]);
export const applyAwarenessUpdate = (): void => undefined;
export const removeAwarenessStates = (): void => undefined;
