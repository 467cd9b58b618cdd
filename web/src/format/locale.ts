import { tongue } from '../words/en/plural.ts';

/** What the browser asks for, first choice first; a test without a browser asks for nothing. */
const asked: readonly string[] = typeof navigator === 'undefined' ? [] : navigator.languages;

/** WD-3: the reader's own form of the page's language (en-GB, de-AT), so that dates and figures match the words. */
export const locale: string = asked.find((l) => l.split('-')[0] === tongue) ?? tongue;

/** Names in one phrase: "A, B and C". */
export const listed = (names: readonly string[]): string =>
  new Intl.ListFormat(locale, { type: 'conjunction' }).format(names);
