/** Pixels of the text that a plot is drawn for: what pages have where nobody set another size. */
const USUAL = 18;

/** How many times as large as usual a reader has set the text of pages. */
const grown = (): number =>
  parseFloat(getComputedStyle(document.documentElement).fontSize) / USUAL || 1;

/**
 * PL-1: tells how wide a plot may be, at first and whenever that changes, in units of its text: one is a pixel where text
 * has its usual size, and more where a reader has set it larger, so that a plot of that width grows with the words around it.
 */
export const plotRoom =
  (tell: (units: number) => void) =>
  (box: Element): (() => void) => {
    const watch = new ResizeObserver(([at]) => {
      if (at) tell(at.contentRect.width / grown());
    });
    watch.observe(box);
    return () => watch.disconnect();
  };
