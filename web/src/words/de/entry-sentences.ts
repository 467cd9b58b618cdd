import type { entryText as same } from '../en/entry-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** English and German of every sentence about a typed value; `{}` is what the sentence names, in the same order. */
const SENTENCES: readonly Retold[] = [
  ['"{}" is neither yes nor no', '„{}“ ist weder Ja noch Nein'],
  ['Type yes or no.', 'Geben Sie Ja oder Nein ein.'],
  ['a share of none', 'ein Anteil an nichts'],
  ['Leave it empty: there is no data.', 'Lassen Sie es leer: Es gibt keine Daten.'],
  ['{} is more than all', '{} ist mehr als alle'],
  ['Type how many of how many, as 35/48.', 'Geben Sie ein, wie viele von wie vielen, etwa 35/48.'],
  [
    'Type how many of how many, as 35/48, or confirm.',
    'Geben Sie ein, wie viele von wie vielen, etwa 35/48, oder bestätigen Sie.',
  ],
  ['"{}" is a time', '„{}“ ist eine Zeit'],
  ['Type a number in {}.', 'Geben Sie eine Zahl in {} ein.'],
  [
    'Type minutes, a colon and two digits of seconds below 60, as 1:05.',
    'Geben Sie Minuten, einen Doppelpunkt und zwei Ziffern Sekunden unter 60 ein, etwa 1:05.',
  ],
  ['"{}" is no time of a clock', '„{}“ ist keine Zeit, wie eine Uhr sie zeigt'],
  ['"{}" is not understood', '„{}“ ist nicht zu verstehen'],
  [
    'Type a number or a time, as 65.5 or 1:05.5, in {}.',
    'Geben Sie eine Zahl oder eine Zeit in {} ein, etwa 65,5 oder 1:05,5.',
  ],
  ['Type a number, as 12.5, in {}.', 'Geben Sie eine Zahl in {} ein, etwa 12,5.'],
  ['Type it in one of: {}.', 'Geben Sie es in einer dieser Einheiten ein: {}.'],
  ['"{}" is no unit of this measure', '„{}“ ist keine Einheit dieser Messgröße'],
  ['"{}" may mean two numbers', '„{}“ kann zwei Zahlen bedeuten'],
  ['Type {} or {}.', 'Geben Sie {} oder {} ein.'],
  ['nothing is typed', 'Nichts ist eingegeben'],
  [
    'Type the value, or mark the trial void or not done.',
    'Geben Sie den Wert ein, oder sagen Sie, dass es nicht geschafft wurde, oder verwerfen Sie den Versuch.',
  ],
  ['not understood', 'Nicht zu verstehen'],
  ['Type a number.', 'Geben Sie eine Zahl ein.'],
  ['not a number', 'Keine Zahl'],
  ['{} is {}, which cannot be', '{} ist {}, das kann nicht sein'],
  [
    'Look at the unit ({}) and type it again, or mark the trial void with the reason.',
    'Prüfen Sie die Einheit ({}) und geben Sie es noch einmal ein, oder verwerfen Sie den Versuch mit Begründung.',
  ],
  ['{} is no whole number', '{} ist keine ganze Zahl'],
  ['Type a count.', 'Geben Sie eine Anzahl ein.'],
  ['{} is {}, which is unusual', '{} ist {}, das ist ungewöhnlich'],
  [
    'Confirm that it is meant, or type it again.',
    'Bestätigen Sie, dass es so gemeint ist, oder geben Sie es noch einmal ein.',
  ],
  [
    'a share without its counts has no interval',
    'Ein Anteil ohne seine Anzahlen hat kein Intervall',
  ],
  ['The protocol has no measure "{}".', 'Das Protokoll hat keine Messgröße „{}“.'],
  ['{}: only a share has counts.', '{}: Nur ein Anteil hat Anzahlen.'],
  ['{}: not the share of its counts.', '{}: nicht der Anteil, den seine Anzahlen ergeben.'],
  ['The protocol has no task "{}".', 'Das Protokoll hat keine Aufgabe „{}“.'],
  [
    'The protocol has no equipment state "{}".',
    'Das Protokoll hat keinen Zustand der Ausrüstung „{}“.',
  ],
  [
    'This task has no criterion of a critical failure.',
    'Diese Aufgabe hat kein Kriterium für ein kritisches Versagen.',
  ],
  [
    '{}: {} s is beyond the limit; enter it as not done.',
    '{}: {} s liegen über der Grenze; tragen Sie es als nicht geschafft ein.',
  ],
  ['Zero has no sign.', 'Null hat kein Vorzeichen.'],
  ['A trial takes at most a day.', 'Ein Versuch dauert höchstens einen Tag.'],
  ['A part is not more than all.', 'Ein Teil ist nicht mehr als alle.'],
  ['Splits follow one another.', 'Zwischenzeiten folgen aufeinander.'],
  ['A split lies before the end.', 'Eine Zwischenzeit liegt vor dem Ende.'],
  ['Each measure stands once.', 'Jede Messgröße steht einmal da.'],
  [
    'A file names values that the trial has, each value one file.',
    'Eine Datei nennt Werte, die der Versuch hat, jeder Wert eine Datei.',
  ],
  [
    'Remove control or text-direction characters.',
    'Entfernen Sie Steuerzeichen und Zeichen der Schreibrichtung.',
  ],
  ['Write at least {} characters.', 'Schreiben Sie mindestens {} Zeichen.'],
  ['Keep it to {} characters.', 'Bleiben Sie bei {} Zeichen.'],
];

/** Limits in words, and figures with a decimal comma; what was typed stays as it was typed. */
const named = (part: string): string =>
  part
    .replace(/^below (?=[\d-])/u, 'unter ')
    .replace(/^above (?=[\d-])/u, 'über ')
    .replace(/^((?:unter |über )?-?\d+)\.(\d+)(?=$| )/u, '$1,$2');

export const entryText: typeof same = retold(SENTENCES, named);
