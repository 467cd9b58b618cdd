import type { talkWords as english } from '../en/talk.ts';
import type { SameWords } from '../same-words.ts';

/** Words of remarks and of the shared note. */
export const talkWords: SameWords<typeof english> = {
  title: 'Bemerkungen',
  write: 'Bemerkung schreiben',
  send: 'Abschicken',
  held: 'Zurückgehalten bis zur Öffnung der Runde',
  empty: 'Noch keine Bemerkungen.',
  note: 'Gemeinsame Notiz',
  noteClosed: 'Die gemeinsame Notiz dieser Aufgabe öffnet sich mit der Runde.',
};
