/** What is wrong with a file of ratings from paper, in the reader's language; in English as it is said. */
export const paperText = (sentence: string): string => sentence;
