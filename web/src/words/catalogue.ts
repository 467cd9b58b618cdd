import { catalogueWords } from './en/catalogue.ts';

/** The words of the catalogue's screens, which no sheet loads. */
export const words = catalogueWords;
