import type { bareWords as english } from '../en/bare.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of times as multiples of the time without the equipment. */
export const bareWords: SameWords<typeof english> = {
  title: 'Als Vielfaches der Zeit ohne die Ausrüstung',
  times: (times) => `${times}-mal`,
  longer: (times, behind) => `${times}-mal so lang wie ohne die Ausrüstung (${behind})`,
  behind: {
    paired: (operators) => `${plural(operators, 'Person', 'Personen')}, je mit und ohne`,
    unpaired: (equipment, reference) =>
      `${plural(equipment, 'Versuch', 'Versuche')} damit, ${String(reference)} ohne, von verschiedenen Personen`,
  },
};
