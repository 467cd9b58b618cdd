/** What is wrong with a typed value or a trial, in the reader's language; in English as it is said. */
export const entryText = (sentence: string): string => sentence;
