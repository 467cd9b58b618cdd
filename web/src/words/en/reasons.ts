/** What `reasonSentence` says, for every screen; a language may bring its sentences in a moment later. */
export const reasonText = (why: string): string => why;
