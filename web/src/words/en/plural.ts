/** The language of these words. */
export const tongue: string = 'en';

const rules = new Intl.PluralRules('en');
const figures = new Intl.NumberFormat('en');

/** A count with its noun. */
export const plural = (n: number, one: string, many: string): string =>
  `${figures.format(n)} ${rules.select(n) === 'one' ? one : many}`;
