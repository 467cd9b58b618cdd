import { plural } from './plural.ts';

/** Words of times as multiples of the time without the equipment. */
export const bareWords = {
  title: 'As a multiple of the time without the equipment',
  times: (times: string) => `${times} times`,
  longer: (times: string, trials: string) =>
    `${times} times as long as without the equipment (${trials})`,
  trials: (equipment: number, reference: number) =>
    `${plural(equipment, 'trial', 'trials')} with it, ${String(reference)} without`,
};
