import type { Bus } from '../ports/bus.ts';

/** Carries nothing: there is nobody to tell, or others are found by looking into the store. */
export const noBus: Bus = {
  tell: () => undefined,
  onNotice: () => undefined,
  onGap: () => undefined,
  connected: () => false,
  close: () => Promise.resolve(),
};
