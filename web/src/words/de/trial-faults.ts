import type { trialFaults as english } from '../en/trial-faults.ts';
import type { SameWords } from '../same-words.ts';

/** Words of what is missing or wrong in a trial that is being typed. */
export const trialFaults: SameWords<typeof english> = {
  outcome: 'Sagen Sie, wie es ausging.',
  criterion: 'Beantworten Sie das.',
  notDoneThen:
    'Das ist eine Zeit, zu der es nicht geschafft war. Wählen Sie „nicht geschafft“, oder geben Sie die gebrauchte Zeit ein.',
  empty: 'Lassen Sie es leer, wo es nicht dazu kam, und sagen Sie es in der Notiz.',
  tooMuch:
    'Das ist mehr, als ein Versuch aufnehmen kann. Kürzen Sie die Notiz, oder lassen Sie Werte weg.',
};
