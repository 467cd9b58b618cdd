import type { plannerWords as english } from '../en/planner.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the planner. */
export const plannerWords: SameWords<typeof english> = {
  title: 'Den Tag planen',
  lead: 'Hier wird nichts gespeichert: Der ganze Plan steht in der Adresse dieser Seite, sein Startwert auf jedem Ausdruck. Dieselbe Adresse ergibt denselben Plan.',
  back: 'Zum Gremium',
  mayNot: 'Den Tag eines Gremiums plant seine Moderation.',
  working: 'Wird berechnet …',
  go: 'Plan berechnen',
  from: 'Woraus der Plan entsteht',
  again: 'Die Angaben wurden geändert, seit dieser Plan entstand. Berechnen Sie ihn noch einmal.',
  print: 'Drucken',
  save: (name) => `${name} sichern`,
  who: 'Wer und womit',
  protocol: 'Protokoll',
  operators: 'Durchführende',
  operatorsHint:
    'Buchstaben oder Zahlen für den Tag, nie Namen, mit Leerzeichen dazwischen: K1 K2 K3.',
  conditions: 'Bedingungen, eine je Zeile',
  conditionsHint:
    'Womit jede durchführende Person jede Aufgabe ausführt. Jede bekommt eine eigene Reihenfolge, damit Lernen und Ermüden keine Bedingung mehr treffen als eine andere.',
  conditionsFirst: ['Mit der Ausrüstung', 'Ohne sie (Vergleich)'],
  seed: 'Startwert der Reihenfolgen',
  seedHint: 'Eine beliebige ganze Zahl. Derselbe Startwert ergibt dieselben Reihenfolgen.',
  draw: 'Neu ziehen',
  tasks: 'Aufgaben',
  tasksHint:
    'Die Minuten sind aus den Zeitgrenzen des Protokolls geschätzt. Passen Sie sie an Ihren Prüftisch an.',
  all: 'Alle auswählen',
  none: 'Keine auswählen',
  chosen: (n, of) => `${String(n)} von ${String(of)} ausgewählt`,
  trialMinutes: (task) => `Minuten für einen Versuch: ${task}`,
  resetMinutes: (task) => `Minuten zum Herrichten: ${task}`,
  tiring: (task) => `Ermüdend: ${task}`,
  columns: {
    task: 'Aufgabe',
    trial: 'Versuch, min',
    reset: 'Herrichten, min',
    tiring: 'Ermüdend',
  },
  rules: 'Versuche und Ruhe',
  trials: 'Gezählte Versuche je Person, Aufgabe und Bedingung',
  practice: 'Übungsversuche je Person und Aufgabe',
  rest: 'Minuten zwischen zwei ermüdenden Versuchen derselben Person',
  work: 'Minuten Arbeit bis zu einer Pause',
  pause: 'Minuten einer Pause',
  day: 'Längster Tag, Minuten',
  start: 'Erster Versuch um',
  rulesHint:
    'Drei Minuten Ruhe zwischen Durchgängen von zwei Minuten folgen einer Studie zur Herzdruckmassage; die übrigen Werte sind gängige Praxis ohne Quelle.',
  size: 'Gutachtende und Versuche',
  sizeFrom: {
    none: 'Dies auslassen',
    evaluation: 'Aus einer früheren Begutachtung',
    stated: 'Aus angegebenen Varianzen',
  },
  wanted: 'Gewünschte Verlässlichkeit (0 bis 1)',
  wantedHint:
    'Wie weit ein Ergebnis mit anderen Gutachtenden und Versuchen derselben Art Bestand hätte.',
  earlier: 'Frühere Begutachtung',
  noEarlier:
    'Im Katalog steht noch keine abgeschlossene Begutachtung. Geben Sie stattdessen Varianzen an.',
  variances: {
    piece: 'Zwischen Stücken',
    reviewer: 'Zwischen Gutachtenden',
    trial: 'Zwischen Versuchen',
    pieceReviewer: 'Stück mal Gutachtende',
    pieceTrial: 'Stück mal Versuch',
    reviewerTrial: 'Gutachtende mal Versuch',
    residual: 'Übrige',
  },
  variancesHint: 'In Stufen zum Quadrat, null oder mehr.',
  madeFrom: (protocol, trials, practice) =>
    `Erstellt aus dem Protokoll ${protocol}; je Person und Aufgabe gezählte Versuche: ${trials}, Übungsversuche: ${practice}.`,
  madeRules: (rest, work, pause, day) =>
    `Ruhe zwischen ermüdenden Versuchen ${rest} min; eine Pause von ${pause} min nach ${work} min Arbeit; längster Tag ${day} min.`,
  madeVariances: (parts) => `Angegebene Varianzen: ${parts}.`,
  sizeOf: (title) => `Aus „${title}“`,
  needed: (n, wanted) =>
    `Mit ${plural(n, 'begutachtenden Person', 'begutachtenden Personen')} wird eine Verlässlichkeit von ${wanted} erreicht; unterschieden werden dabei die Aufgaben.`,
  neverReached:
    'Die Aufgaben unterscheiden sich dort nicht, also kann keine Zahl von Gutachtenden sie auseinanderhalten.',
  components: (task, reviewer, rest) =>
    `Varianz in Stufen zum Quadrat: zwischen Aufgaben ${task}, zwischen Gutachtenden ${reviewer}, übrige ${rest}.`,
  oneEvaluation:
    'Eine einzelne Begutachtung sagt, wie weit sich ihre Gutachtenden unterscheiden, nicht wie weit Versuche oder Stücke es tun. Geben Sie dafür Varianzen an.',
  reviewers: 'Gutachtende',
  phi: 'Verlässlichkeit',
  sem: 'Standardfehler, Stufen',
  sizeTrials: 'Versuche',
  statedLead: (wanted) =>
    `Kleinste Zahl von Gutachtenden für eine Verlässlichkeit von ${wanted}, nach der Zahl der Versuche:`,
  noSize: (why) => `Es lässt sich keine Zahl angeben: ${why}.`,
  orders: 'Reihenfolgen',
  ordersLead: (seed, generator) =>
    `Reihenfolgen nach Williams, Startwert ${seed} (${generator}). Die Zeilen zählen ab 1.`,
  operator: 'Durchführung',
  row: 'Zeile',
  order: 'In dieser Reihenfolge',
  dayTitle: 'Der Tag',
  dayLead: (minutes, trials) => `${minutes}; gezählt wird: ${trials}.`,
  hours: (h, m) => (h === 0 ? `${String(m)} min` : `${String(h)} Std. ${String(m)} min`),
  countedTrials: (n) => plural(n, 'Versuch', 'Versuche'),
  noDay: (why) => `Kein Zeitplan: ${why}.`,
  at: 'Um',
  what: 'Was',
  condition: 'Bedingung',
  kinds: {
    practice: 'Übung',
    trial: 'Versuch',
    rest: 'Ruhe',
    break: 'Pause',
  },
  numbered: (kind, n) => `${kind} ${String(n)}`,
  nextDay: (n, time) => `Tag ${String(n + 1)}, ${time}`,
  equipment: 'Ausstattung',
  noEquipment: 'Die ausgewählten Aufgaben nennen kein Werkzeug.',
  faults: {
    operators: 'Geben Sie die Durchführenden ein: Buchstaben und Zahlen, etwa K1 K2.',
    conditions: 'Geben Sie mindestens eine Bedingung ein.',
    tasks: 'Wählen Sie mindestens eine Aufgabe aus.',
    twice: (name) => `„${name}“ steht zweimal da. Nennen Sie jedes einmal.`,
    seed: 'Ein Startwert ist eine ganze Zahl von 1 bis 4294967295.',
    number: (what) => `${what}: Geben Sie eine Zahl ein, null oder mehr.`,
    earlier: 'Wählen Sie eine frühere Begutachtung aus oder lassen Sie dies aus.',
    start: 'Geben Sie die Uhrzeit des ersten Versuchs ein, etwa 09:00.',
  },
};
