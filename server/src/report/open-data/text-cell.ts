/**
 * First signs that make a spreadsheet take a cell for a formula, with their full-width twins; blanks that it
 * strips first.
 */
const RISKY = /^'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/u;

/**
 * RE-6: no text in an exported file can run as a formula: one that begins with = + - @, a tab or a line end gets
 * an apostrophe in front. Text that begins with apostrophes before such a sign gets one more, so that taking
 * one away always gives back what was written.
 */
export const safeText = (text: string): string => (RISKY.test(text) ? `'${text}` : text);

/** The text as it was before `safeText`. */
export const plainText = (cell: string): string =>
  cell.startsWith("'") && RISKY.test(cell.slice(1)) ? cell.slice(1) : cell;
