import type { accessWords as english } from '../en/access.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the time to access: curves over a ladder of techniques, and their twin in a table. */
export const accessWords: SameWords<typeof english> = {
  title: 'Zeit bis zum Zugang',
  lead: 'Wie lange es bis zum Zugang dauert, wenn jede Technik versucht wird, sobald die vorige scheitert oder ihre Zeitgrenze erreicht.',
  back: 'Zu den Versuchen',
  record: 'Zum Bericht',
  retry: 'Noch einmal versuchen',
  loading: 'Wird berechnet …',
  none: 'Dieses Protokoll hat keine Technikfolge, also gibt es keine Zeit bis zum Zugang zu zeigen.',
  ladder: (goal) => `${goal}: Zeit bis zum Zugang`,
  axisTime: 'Sekunden ab „los“',
  axisShare: 'Anteil der Fälle mit Zugang',
  seconds: (n) => `${n} s`,
  datum: 'sofort, wie ohne die Ausrüstung',
  curve: 'Anteil der Fälle mit Zugang bis zu dieser Zeit',
  band: '95-%-Grenzen, für jede Zeit einzeln',
  summary: (goal, parts) => `${goal}. Zugang ${parts}. Die Tabelle darunter sagt dasselbe.`,
  byPart: (seconds, share) => `bis ${seconds} in ${share}`,
  table: 'Dasselbe in Zahlen',
  columns: { what: 'Zugang', share: 'Anteil der Fälle', limits: '95-%-Grenzen' },
  by: (seconds) => `bis ${seconds}`,
  ever: 'überhaupt',
  median: 'Die Hälfte der Fälle bis',
  notReached: 'nicht erreicht',
  limits: (lower, upper) => `${lower} bis ${upper}`,
  closed: (share, mean) =>
    `Allein aus den Anteilen und mittleren Zeiten der einzelnen Techniken (geschlossene Formel): Zugang in ${share}, im Mittel nach ${mean}, wo es Zugang gibt.`,
  drawn: (replicates, seed) =>
    `Grenzen: Die Versuche jeder Technik wurden ${replicates}-mal neu gezogen, Startwert ${seed}. Mit demselben Startwert neu gezogen, sind sie dieselben.`,
  rungs: 'Die Techniken in der Reihenfolge, in der sie versucht werden',
  rung: {
    place: (title, state, cap) => `${title} (${state}${cap === '' ? '' : `, höchstens ${cap}`})`,
    trials: (n, operators) =>
      `${plural(n, 'Versuch', 'Versuche')}${n === 0 ? '' : ` von ${plural(operators, 'durchführenden Person', 'durchführenden Personen')}`}`,
    done: (n, share, lower, upper) =>
      `${String(n)} geschafft (${share}, 95-%-Grenzen ${lower} bis ${upper})`,
    notDone: (n) => `${String(n)} nicht rechtzeitig geschafft`,
    begun: (share) => `war in ${share} der Fälle nötig`,
  },
  staged:
    'Ein gestellter Versuch mit geschulten Personen. Im Notfall gelten die örtlichen Vorgaben und die ärztliche Leitung.',
  compare: {
    title: 'Zeit bis zum Zugang',
    hint: 'Jede Kurve ist ein Stück, mit seinem Buchstaben bezeichnet. Je weiter rechts, desto länger dauert es. Die Grenzen stehen in der Tabelle; Kurven, deren Grenzen sich überlappen, sind nicht als verschieden zu lesen.',
    summary: (goal, parts) =>
      `${goal}. Die Hälfte der Fälle hat Zugang: ${parts}. Die Tabelle darunter sagt mehr.`,
    part: (letter, model, median) => `${letter} ${model}: ${median}`,
    half: (median) => `bis ${median}`,
    piece: 'Stück',
    trials: 'Versuche',
    none: 'Keines dieser Stücke hat Versuche zu einer Technikfolge.',
    other:
      'Eine Technikfolge wird verglichen, wo den Stücken das Protokoll, seine Version und die Technikfolge gemeinsam sind.',
  },
};
