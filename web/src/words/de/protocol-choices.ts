import type { choiceWords as english } from '../en/protocol-choices.ts';
import type { SameWords } from '../same-words.ts';

/** What the fields of a protocol can be set to. */
export const choiceWords: SameWords<typeof english> = {
  lower: 'niedriger ist besser',
  higher: 'höher ist besser',
  target: 'ein Zielwert ist am besten',
  none: 'keines von beiden',
  relative: 'gegenüber derselben Person ohne die Ausrüstung',
  absolute: 'Bereiche von Zeit oder Anzahl',
  yes: 'ja',
  partly: 'teilweise',
  no: 'nein',
  D1: 'D1: Einzelstimmen und geteilte Gremien',
  strict: 'streng: Spannweite aller Urteile',
  lenient: 'milde: Abstand vom Median aller',
  usual: 'markiert wie üblich: halbe Breite der Skala, und 0',
  own: 'markiert mit eigenen Konstanten',
  off: 'nicht markiert',
  apart: 'gesondert von jeder Zahl gezählt',
  weighs: 'gehen mit einem Gewicht in den Gesamtwert ein',
  'no-criterion': 'nicht in Zahlen: Die protokollierende Person vermerkt es',
  'not-done-within': 'nicht geschafft in so vielen Sekunden',
  above: 'ein Messwert liegt über einer Grenze',
  'away-from-zero': 'ein Messwert liegt weiter von null als eine Grenze',
  'below-reference': 'ein Messwert liegt unter einer Grenze und unter den Vergleichsversuchen',
  recorded: 'der Vermerk beim Versuch',
  any: 'eines von mehreren',
  'pooled-share': 'ein Anteil über alle Versuche der Aufgabe',
  'house-rest': 'drei Minuten zwischen Versuchen mit Kompressionen',
  'own-rest': 'eigene Minuten, zwischen den genannten Aufgaben',
};

/** Fields of a protocol that may be left out of the file: its language, a rest, a criterion in numbers. */
export const furtherFields: Record<string, string> = {
  language: 'Sprache der Texte, etwa de oder en-GB; leer für Englisch',
  criterion: 'Das Kriterium der Versuche in Zahlen',
  criterionKind: 'Erfüllt, wenn',
  measure: 'Messgröße',
  seconds: 'Sekunden',
  by: 'Mindestens so viel unter den Vergleichsversuchen derselben Person',
  below: 'Anteil unter, 0 bis 1',
  upperBelow: 'Obere Grenze seines Intervalls unter, 0 bis 1',
  minAttempts: 'Anläufe mindestens',
  minutes: 'Minuten Pause',
  restTasks: 'Aufgaben, die ermüden',
  rounds: 'Runden',
  roundsLimit: 'Höchstens so viele Runden',
};
