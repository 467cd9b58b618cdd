import type { leavingWords as english } from '../en/leaving.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** What is said before a device forgets everything. */
export const leavingWords: SameWords<typeof english> = {
  unsent: (things) =>
    `${plural(things, 'Eintrag', 'Einträge')} auf diesem Gerät: noch nicht beim Server angekommen (Urteile, Versuche oder Fotos). ` +
    'Abmelden löscht das. Trotzdem abmelden?',
  noAnswer:
    'Der Server antwortet nicht, darum sind Sie hier noch angemeldet. Nichts wurde gelöscht. ' +
    'Melden Sie sich ab, sobald die Verbindung da ist, oder behalten Sie das Gerät bei sich.',
};
