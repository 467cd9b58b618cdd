/**
 * Control characters but tab and line feed (those of eight bits too: a terminal may obey them), direction overrides and
 * lone surrogates: never stored.
 */
export const FORBIDDEN =
  /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/u;

/** How many code points a text has. */
export const codePoints = (text: string): number => [...text].length;

/** Characters without a shape of their own, and the Braille pattern without a dot: nobody can read a reason of these. */
const UNSEEN = /[\p{Default_Ignorable_Code_Point}\u2800]/gu;

/** Code points of a text that somebody can see. */
export const seenLength = (text: string): number => codePoints(text.replace(UNSEEN, '').trim());

/** Line breaks of word processors and old machines. */
const OTHER_BREAKS = /\r\n?|[\u000b\u000c\u0085]/gu;

/**
 * TX-4: what was pasted, fit to be kept: other line breaks become line feeds, and what TX-1 forbids goes. A document
 * refuses it, and with it everything written after: so it never gets there.
 */
export const cleanText = (text: string): string =>
  text.replace(OTHER_BREAKS, '\n').replace(new RegExp(FORBIDDEN, 'gu'), '').normalize('NFC');

/** Shortest written reason for a decision that binds the panel, in code points. */
export const DECISION_REASON_MIN = 20;
