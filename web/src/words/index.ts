import { en, type Words } from './en.ts';

/** The words of the screens. One more language is one more object of this type. */
export const words: Words = en;
