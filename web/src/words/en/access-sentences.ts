/** What is said of a time to access, in the reader's language; in English as it is said. */
export const accessText = (sentence: string): string => sentence;
