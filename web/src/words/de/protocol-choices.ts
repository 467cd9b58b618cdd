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
};
