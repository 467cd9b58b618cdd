import type { fitSentences as english } from '../en/fit.ts';
import type { SameWords } from '../same-words.ts';

/** How an evaluation stands to its fit check, in a sentence: on the desk and beside the checks. */
export const fitSentences: SameWords<typeof english> = {
  missing: 'Noch keine Passformprüfung: Die erste Runde kann nicht geöffnet werden.',
  failed:
    'Die letzte Passformprüfung wurde nicht bestanden: Die erste Runde kann nicht geöffnet werden.',
  passed: 'Die Passformprüfung wurde bestanden.',
};
