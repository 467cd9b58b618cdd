const TAP_MS = 20;

/** A short tap in the hand when an answer was taken, where the device offers it and nobody asked for less motion. */
export const felt = (): void => {
  if (matchMedia('(prefers-reduced-motion: reduce)').matches) return;
  // Not everywhere, whatever the types say.
  (navigator as Partial<Navigator>).vibrate?.(TAP_MS);
};
