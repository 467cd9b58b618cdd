/** What a check of a protocol says, a fault and the way out of it, in the reader's language; in English as it is said. */
export const faultText = (sentence: string): string => sentence;

/** A difference between two versions in the reader's language; in English as it is said. */
export const changeText = (sentence: string): string => sentence;
