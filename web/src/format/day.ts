/** A calendar day in the reader's own form. */
export const day = (instant: string): string =>
  new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    new Date(instant),
  );
