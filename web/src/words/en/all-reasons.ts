/** A reason why a figure is not defined, in the reader's language; in English it is the sentence of the record itself. */
export const reasonSentence = (why: string): string => why;
