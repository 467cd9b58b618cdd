import { locale } from './locale.ts';

/** A calendar day in the reader's own form. */
export const day = (instant: string): string =>
  new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(instant),
  );
