/** Calls `then` a frame and a turn later: what is there now is on the screen, and what comes next is in nobody's way. */
export const afterPaint = (then: () => void): void => {
  requestAnimationFrame(() => setTimeout(then));
};
