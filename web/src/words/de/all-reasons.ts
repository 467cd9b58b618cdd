import { readReason, type ReasonCode } from '@unhindered/shared-types';
import type { reasonSentence as english } from '../en/all-reasons.ts';

/** Every reason in German; `{}` is what the sentence names. */
const SENTENCES: Record<ReasonCode, string> = {
  'not-comparable-few': 'Nicht vergleichbar: In beiden sind weniger als zwei Aufgaben geklärt.',
  'not-comparable-still':
    'Kein Intervall: Der Unterschied ist bei jeder gemeinsamen Aufgabe derselbe.',
  'not-comparable-version':
    'Nicht vergleichbar: Die beiden wurden nach verschiedenen Fassungen des Protokolls beurteilt, die nach anderen Aufgaben, Sätzen oder Gewichten fragen können.',
  'not-comparable-withdrawn': 'Nicht vergleichbar: Einer der beiden Berichte wurde zurückgezogen.',
  'all-alike': 'keine Unterschiede: Alle Urteile sind gleich',
  'angle-past-80':
    'der mittlere Winkel überschreitet bei {} s 80 Grad: Wählen Sie eine andere Reihenfolge der Achsen',
  'between-points': 'ein Urteil liegt zwischen den Punkten der Skala',
  'chance-agrees': 'keine Unterschiede: Schon der Zufall stimmte ganz überein',
  'class-current-only':
    'Der Eintrag gilt nicht mehr: Seine Klasse enthält nur geltende Begutachtungen.',
  'class-not-pooled': 'Diese Klasse ist nicht zusammengefasst.',
  'class-too-small':
    'Nur {} andere in der Klasse; eine Einordnung wird erst bei zehn oder mehr gezeigt.',
  'condition-empty': 'eine der Bedingungen ist leer',
  'condition-without-data': 'keine Daten in einer der Bedingungen',
  'end-of-scale': 'der Mittelwert liegt zu nahe an einem Ende der Skala',
  'even-design': 'der Test braucht zu jeder Aufgabe gleich viele Urteile und keine Gewichte',
  'few-ratings': 'weniger als {} Urteile',
  'few-ratings-split': 'zu wenige Urteile oder keine Reststreuung',
  'few-ratings-three': 'weniger als drei Urteile',
  'few-ratings-two': 'weniger als zwei Urteile',
  'few-reviewers': 'weniger als {} begutachtende Personen',
  'few-reviewers-interval': 'zu wenige begutachtende Personen für ein Intervall',
  'few-reviewers-two': 'weniger als zwei begutachtende Personen',
  'few-tasks-rated-twice': 'weniger als {} Aufgaben mit zwei Urteilen',
  'habit-unknown': 'die Gewohnheit von {} lässt sich nicht schätzen',
  'half-never-there': 'in der Hälfte der Fälle oder mehr gelingt der Zugang nie',
  'half-not-done': 'die Hälfte der Versuche oder mehr wurde nicht geschafft',
  'needs-variance': 'keine Varianzanteile',
  'never-rated-twice': 'nie zweimal beurteilt',
  'no-breath-in': 'keine Beatmung ist als angekommen verzeichnet, oder der Anfang fehlt',
  'no-composite': 'Es gibt keinen Gesamtwert.',
  'no-compression': 'keine Kompression',
  'no-counted-rating': 'kein gezähltes Urteil',
  'no-counted-rating-on-scale': 'kein gezähltes Urteil auf der Skala',
  'no-data': 'keine Daten',
  'no-depth': 'keine Tiefe',
  'no-limit-for-measure': 'hier nennt keine Regel eine Grenze für diese Messgröße',
  'no-rated-task': 'keine beurteilte Aufgabe',
  'no-rated-weight': 'keine beurteilte Aufgabe hat Gewicht',
  'no-statement': 'keine gezählte Person hat sich geäußert',
  'no-rating': 'kein Urteil',
  'no-reference-trial': 'kein Versuch ohne die Ausrüstung zum Vergleichen',
  'no-reference-time': 'die Versuche ohne die Ausrüstung haben keine Zeit zum Vergleichen',
  'no-replicate-varied': 'keine Wiederholung zeigte Unterschiede',
  'no-replicates': 'keine Wiederholungen',
  'no-replicates-drawn': 'keine Wiederholungen wurden gezogen',
  'no-residual': 'keine Reststreuung',
  'no-residual-limit': 'keine Reststreuung: F hat keine Grenze',
  'no-residual-to-test': 'keine Reststreuung, gegen die zu testen wäre',
  'no-reviewer': 'niemand hat geurteilt',
  'no-run': 'keine zwei Kompressionen in einer Folge',
  'no-sample': 'kein Abtastwert',
  'no-success': 'keine Technik gelingt je',
  'no-task-by-both': 'keine Aufgabe wurde von beiden beurteilt',
  'no-task-rated-thrice': 'keine Aufgabe mit drei Urteilen, die sich unterscheiden',
  'no-task-rated-twice': 'keine Aufgabe mit zwei Urteilen',
  'no-task-told-apart': 'niemand hat zwischen den Aufgaben unterschieden',
  'no-timed-trial': 'kein Versuch mit Zeit',
  'no-trial': 'kein Versuch',
  'no-trial-done': 'kein Versuch wurde geschafft',
  'no-trial-of': 'kein Versuch von {}',
  'one-point-only': 'jemand hat nur einen Punkt benutzt: Jede Tafel ergäbe dasselbe Kappa',
  'one-reviewer': 'eine einzelne begutachtende Person hat kein Intervall',
  'one-task-agreement': 'eine Aufgabe allein sagt nichts über Übereinstimmung über Aufgaben',
  'one-task-error': 'eine Aufgabe allein hat keinen Standardfehler',
  'only-two-reviewers': 'nur für zwei begutachtende Personen',
  'operator-ratio': 'ein Verhältnis je Person braucht zwei Personen und Werte über null',
  'operators-both': 'niemand hat unter beiden Bedingungen durchgeführt',
  'operators-finished': 'weniger als zwei Personen haben beides geschafft',
  'pairs-too-even': 'die Abtastwerte liegen zu gleichmäßig, um alle Paare zu vergleichen',
  'pieces-alike': 'die Stücke unterscheiden sich nicht, also trennt sie nichts',
  'plan-empty': 'ein Plan braucht eine Aufgabe, eine durchführende Person und einen Versuch',
  'ratings-too-few': 'die Urteile sind zu wenige oder lassen keine Streuung zum Aufteilen',
  'reference-zero': 'der Mittelwert ohne die Ausrüstung ist null',
  'reviewers-alike': 'die begutachtenden Personen unterscheiden sich nicht',
  'scale-unused':
    'nicht jeder Punkt der Skala wurde benutzt, oder zu wenige Aufgaben oder begutachtende Personen',
  'span-missing': 'Anfang und Ende des Versuchs sind nicht angegeben',
  'table-large': 'die Tafel ist groß genug für Chi-Quadrat',
  'tasks-alike': 'die Aufgaben unterscheiden sich nicht',
  'tasks-alike-form': 'die Aufgaben unterscheiden sich für diese Form zu wenig',
  'tasks-alike-limits': 'die Aufgaben unterscheiden sich nicht: Die Grenzen haben kein Ende',
  'tasks-by-all': 'weniger als zwei Aufgaben, die alle beurteilt haben',
  'times-above-zero': 'die Zeiten von {} müssen über null liegen',
  'trials-alike':
    'die Versuche sind zu gleich oder zu wenige, um zu sagen, wie weit dies danebenliegen kann',
  'two-reviewers-interval': 'zwei begutachtende Personen sind zu wenige für ein Intervall',
  'values-alike': 'die Werte unterscheiden sich nicht',
  'values-few': 'weniger als zwei Werte in einer der Gruppen',
  'without-one': 'ohne eine der begutachtenden Personen bleibt keine beurteilte Aufgabe',
};

/** A reason in German by its code; one that is not known here stays in English. */
export const reasonSentence: typeof english = (why) => {
  const read = readReason(why);
  return read
    ? SENTENCES[read.code].replace('{}', read.named.replace(/^(\d+)\.(\d+)$/u, '$1,$2'))
    : why;
};
