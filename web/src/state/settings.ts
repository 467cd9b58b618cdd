import { LANGUAGES, type Language } from '../words/languages.ts';

const MODES = ['auto', 'sun', 'night'] as const;
export type Mode = (typeof MODES)[number];

/** How this device shows the pages: as the system says, for bright sun, or for a dark room. */
export const shownMode = (): Mode =>
  MODES.find((m) => m === localStorage.getItem('mode')) ?? 'auto';

/** Shows the pages in `mode`, from now on. */
export const showMode = (mode: Mode): void => {
  document.documentElement.dataset['mode'] = mode;
  localStorage.setItem('mode', mode);
};

/** The language that this page came in. */
export const shownLanguage = (): Language =>
  document.documentElement.lang in LANGUAGES ? (document.documentElement.lang as Language) : 'en';

/** WD-2: remembers the language on this device and asks the server for the pages in it. What was rated stays. */
export const chooseLanguage = (language: Language): void => {
  const secure = location.protocol === 'https:' ? ';secure' : '';
  document.cookie = `language=${language};path=/;max-age=31536000;samesite=lax${secure}`;
  location.reload();
};
