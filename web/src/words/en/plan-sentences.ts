/** What is said of a plan, in the reader's language; in English as it is said. */
export const planText = (sentence: string): string => sentence;
