import type { planText as same } from '../en/plan-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** English and German of every sentence beside a plan; `{}` is what the sentence names, in the same order. */
const SENTENCES: readonly Retold[] = [
  [
    'Orders are balanced for {} operators or a multiple; here there are {}, so some orders stand more often than others.',
    'Ausgewogen sind die Reihenfolgen bei {} durchführenden Personen oder einem Vielfachen davon; hier sind es {}, also kommen manche Reihenfolgen öfter vor als andere.',
  ],
  [
    'Times are minutes from the start; the briefing, fitting and any talk are not in them.',
    'Zeiten sind Minuten ab dem Beginn; Einweisung, Anpassen und Gespräche sind nicht darin.',
  ],
  [
    'It takes {} days of this length, or fewer trials.',
    'Das braucht {} Tage dieser Länge oder weniger Versuche.',
  ],
  [
    'One operator alone: nothing can be said about other people, and every rest is waited for.',
    'Nur eine durchführende Person: Über andere lässt sich nichts sagen, und jede Ruhezeit wird abgewartet.',
  ],
];

export const planText: typeof same = retold(SENTENCES);
