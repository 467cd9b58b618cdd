/** Bytes of a file of ratings from paper at most; some 30,000 rows. */
export const MAX_PAPER_BYTES = 2 * 1024 * 1024;
/** Faulty lines that may be left out of an import at most: with more the file is not what it should be. */
export const MAX_LEFT_OUT = 200;
/** Evaluations of a protocol below which nothing but their number is shown: one panel's ratings could be read from more. */
export const LEARN_FROM = 3;
/** Evaluations below which the protocol's page says that they are few. */
export const LEARN_FEW = 10;
