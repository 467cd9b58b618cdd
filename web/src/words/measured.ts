import { measuredWords } from './en/measured.ts';

/** The words of measured values beside the rating. */
export const words = measuredWords;
