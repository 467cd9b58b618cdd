import type { Timers } from '../ports/timers.ts';

/** The machine's clock. Timers never keep the process alive. */
export const systemTimers: Timers = {
  now: () => Date.now(),
  counted: () => performance.now(),
  after: (ms, call) => {
    const timer = setTimeout(call, ms);
    timer.unref();
    return () => clearTimeout(timer);
  },
};
