/** A click that the browser should not take itself: the plain one. Others open a new tab or window, as people expect. */
const isPlain = (event: MouseEvent): boolean =>
  event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;

/** For the links of a screen: goes to their address without loading the pages anew. */
export const follow =
  (go: (path: string) => void) =>
  (event: MouseEvent & { currentTarget: HTMLAnchorElement }): void => {
    if (!isPlain(event)) return;
    event.preventDefault();
    go(event.currentTarget.pathname);
  };
