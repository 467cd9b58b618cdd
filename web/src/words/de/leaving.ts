import type { leavingWords as english } from '../en/leaving.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Was gesagt wird, bevor ein Gerät alles vergisst. */
export const leavingWords: SameWords<typeof english> = {
  unsent: (things) =>
    `Auf diesem Gerät ${things === 1 ? 'liegt' : 'liegen'} noch ${plural(things, 'Eintrag', 'Einträge')}, die der Server nicht hat: ` +
    'Bewertungen, Versuche oder Fotos. Beim Abmelden werden sie gelöscht. Trotzdem abmelden?',
  noAnswer:
    'Der Server antwortet nicht. Sie sind auf diesem Gerät noch angemeldet, und nichts wurde gelöscht. ' +
    'Melden Sie sich ab, sobald die Verbindung wieder da ist, oder behalten Sie das Gerät bei sich.',
};
