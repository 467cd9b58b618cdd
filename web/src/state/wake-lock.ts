/** Keeps the screen on while it is shown, where the browser can; returns how to stop. */
export const keepAwake = (): (() => void) => {
  if (!('wakeLock' in navigator)) return () => undefined;
  let lock: WakeLockSentinel | undefined;
  let over = false;
  const take = (): void => {
    if (document.visibilityState !== 'visible') return;
    navigator.wakeLock.request('screen').then(
      (taken) => {
        lock = taken;
        if (over) void taken.release();
      },
      // Refused on a low battery: the screen then goes dark as always.
      () => undefined,
    );
  };
  take();
  document.addEventListener('visibilitychange', take);
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', take);
    void lock?.release();
  };
};
