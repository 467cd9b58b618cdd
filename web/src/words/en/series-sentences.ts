/** What is wrong with a file of a series, in the reader's language; in English as it is said. */
export const seriesText = (sentence: string): string => sentence;
