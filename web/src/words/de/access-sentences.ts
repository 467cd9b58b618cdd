import type { accessText as same } from '../en/access-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** English and German of every sentence beside a time to access; `{}` is what the sentence names, in the same order. */
const SENTENCES: readonly Retold[] = [
  [
    'Each technique is taken to go as it did in its own trials, whatever made the one before it fail.',
    'Für jede Technik wird angenommen, dass sie geht wie in ihren eigenen Versuchen, woran auch immer die vorige scheiterte.',
  ],
  [
    'No trial of {}: it counts as never giving access, so the figures are lower bounds.',
    'Kein Versuch mit {}: Das zählt, als gäbe es damit nie Zugang, also sind die Zahlen Untergrenzen.',
  ],
  [
    '{} of the least tried technique and {}: with fewer than {} of either, limits called 95 % cannot be trusted to hold the truth that often.',
    '{} mit der am wenigsten versuchten Technik und {}: Bei weniger als {} von einem davon ist 95-%-Grenzen nicht zu trauen, dass sie die Wahrheit so oft einschließen.',
  ],
  [
    'Several trials of one operator count as if they were of several people, so the limits are somewhat too narrow.',
    'Mehrere Versuche einer durchführenden Person zählen, als wären sie von mehreren, also sind die Grenzen etwas zu eng.',
  ],
  [
    'No timed trial of these techniques counts yet.',
    'Noch zählt kein Versuch mit Zeit zu diesen Techniken.',
  ],
  [
    'Not enough trials: {}. The protocol asks for at least {} of a technique.',
    'Zu wenige Versuche: {}. Das Protokoll verlangt mindestens {} je Technik.',
  ],
  [
    'There are more than 200,000 ways through these trials, more than are computed here.',
    'Es gibt mehr als 200.000 Wege durch diese Versuche, mehr als hier berechnet werden.',
  ],
  [
    '{}: {} not done in time. Such a time is no time to access and is in no mean; what it took is lost before the next technique begins.',
    '{}: {} nicht rechtzeitig geschafft. Eine solche Zeit ist keine Zeit bis zum Zugang und steht in keinem Mittel; was sie dauerte, geht verloren, bevor die nächste Technik beginnt.',
  ],
  [
    '{}: {} not done had no time and counted as failed at {} s.',
    '{}: {}, nicht geschafft und ohne Zeit; gezählt als gescheitert bei {} s.',
  ],
  ['{}: {} left out, nobody took the time.', '{}: {} ausgelassen, niemand nahm die Zeit.'],
];

/** Counts with their nouns. */
const named = (part: string): string =>
  part
    .replace(/^1 trial(?: was)?$/u, '1 Versuch')
    .replace(/^(\d+) trials(?: were)?$/u, '$1 Versuche')
    .replace(/^1 operator$/u, '1 durchführende Person')
    .replace(/^(\d+) operators$/u, '$1 durchführende Personen');

export const accessText: typeof same = retold(SENTENCES, named);
