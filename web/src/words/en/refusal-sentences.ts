/** What the server says of something that was sent and is not right, in the reader's language; null where only it has words. */
export const refusalText = (_sentence: string): string | null => null;
