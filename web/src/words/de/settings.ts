import type { settingsWords as english } from '../en/settings.ts';
import type { SameWords } from '../same-words.ts';

/** Words of the settings of this device. */
export const settingsWords: SameWords<typeof english> = {
  mode: 'Anzeige',
  modes: { auto: 'automatisch', sun: 'helle Sonne', night: 'dunkler Raum' },
  language: 'Sprache',
  halfFilled:
    'Die Seite wird in der anderen Sprache neu geladen. Was Sie hier eingegeben und nicht abgeschickt haben, geht verloren. Trotzdem wechseln?',
  offline: 'Die andere Sprache kommt vom Server: Wählen Sie sie, wenn eine Verbindung besteht.',
};
