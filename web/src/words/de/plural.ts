/** The language of these words. */
export const tongue: string = 'de';

const rules = new Intl.PluralRules('de');
const figures = new Intl.NumberFormat('de');

/** A count with its noun, in the case that the sentence asks for. */
export const plural = (n: number, one: string, many: string): string =>
  `${figures.format(n)} ${rules.select(n) === 'one' ? one : many}`;
