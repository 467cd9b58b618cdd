/**
 * What Yjs says on the console, in plain text: the build takes this in the place of lib0's logging, whose colours and
 * its drawing of them are a tenth of all that a sheet would load.
 */
export const print = (...parts: readonly unknown[]): void =>
  globalThis.console.warn(...parts.filter((part) => part !== ''));
export const warn = print;
export const [BOLD, UNBOLD, ORANGE, RED] = ['', '', '', ''];
