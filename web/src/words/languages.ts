/** The languages of these pages, each under its own name; a folder of words for every one. */
export const LANGUAGES = { en: 'English', de: 'Deutsch' };
export type Language = keyof typeof LANGUAGES;
