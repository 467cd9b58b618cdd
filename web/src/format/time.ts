import { locale } from './locale.ts';

/** Time of day in the reader's own form. */
export const clock = (instant: string | number | Date): string =>
  new Intl.DateTimeFormat(locale, {
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  }).format(new Date(instant));

/** Date and time of day. */
export const dateAndTime = (instant: string | number | Date): string =>
  new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).format(
    new Date(instant),
  );
