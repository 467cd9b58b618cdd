import { plural } from './plural.ts';

/** Words of times as multiples of the time without the equipment. */
export const bareWords = {
  title: 'As a multiple of the time without the equipment',
  times: (times: string) => `${times} times`,
  longer: (times: string, behind: string) =>
    `${times} times as long as without the equipment (${behind})`,
  behind: {
    paired: (operators: number, _: number) =>
      `${plural(operators, 'operator', 'operators')}, each with it and without`,
    unpaired: (equipment: number, reference: number) =>
      `${plural(equipment, 'trial', 'trials')} with it, ${String(reference)} without, by different people`,
  },
};
