import type { learningWords as english } from '../en/learning.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of what reviewers and protocols learn, and of practice. */
export const learningWords: SameWords<typeof english> = {
  learning: {
    title: 'Meine Urteile im Lauf der Zeit',
    titleOf: (name, letter) => `${name}, Platz ${letter ?? ''}: im Lauf der Zeit`,
    lead: 'Rückmeldung, kein Vorwurf: Niemand wird dadurch umgewichtet, und ein Gremium braucht verschiedene Augen.',
    seenBy: 'Nur Sie und die Leitung dieser Organisation sehen diese Seite.',
    seenByLead: 'Nur diese Person und Sie sehen diese Seite.',
    back: 'Zurück zum Gremium',
    empty:
      'Noch nichts: Diese Seite beginnt mit der ersten abgeschlossenen Begutachtung dieses Gremiums, in der ein Urteil von Ihnen zählt.',
    of: (n) =>
      `Aus ${plural(n, 'abgeschlossenen Begutachtung', 'abgeschlossenen Begutachtungen')} dieses Gremiums, älteste zuerst.`,
    few: 'Bei so wenigen sehen eine Gewohnheit und ein einzelner Widerspruch gleich aus.',
    without: (n) =>
      `${plural(n, 'abgeschlossene Begutachtung hat', 'abgeschlossene Begutachtungen haben')} kein gezähltes Urteil dieses Platzes.`,
    withdrawn: (n) =>
      `${plural(n, 'zurückgezogener Bericht ist', 'zurückgezogene Berichte sind')} ausgelassen.`,
    severity: 'Gewohnheit: über oder unter dem Gremium',
    severityHint:
      'Die dicke Linie ist das Gremium. Ein Balken nach rechts: urteilt bei denselben Aufgaben höher als das Gremium, im Mittel um so viele Stufen; nach links: niedriger. ± ist der Standardfehler.',
    lower: 'urteilt niedriger',
    higher: 'urteilt höher',
    panel: 'das Gremium',
    error: (text) => `± ${text}`,
    ratings: (n) => plural(n, 'Urteil', 'Urteile'),
    even: 'Gleichmaß und Abstand',
    evenHint:
      'Gleichmaß ist die Streuung der Urteile, wenn Aufgabe und Gewohnheit herausgerechnet sind: Klein heißt derselbe Maßstab von Aufgabe zu Aufgabe. Der Abstand gilt zu dem, was das Gremium am Ende geklärt hat.',
    columns: {
      evaluation: 'Begutachtung',
      spread: 'Gleichmaß, Stufen',
      panelSpread: 'Ganzes Gremium',
      distance: 'Mittlerer Abstand vom Geklärten',
      signed: 'Mit Vorzeichen',
      within: 'Innerhalb einer Stufe',
    },
    paper: 'von Papier übernommen',
    superseded: 'ersetzt',
    practices: 'Üben',
    noPractice: 'Noch keine Übung beendet.',
    noPracticeShown: 'Keine Übung wird Ihnen gezeigt.',
  },
  protocolPage: {
    title: 'Wie sich das Protokoll bewährt',
    lead: 'Über alle abgeschlossenen Begutachtungen einer Protokollversion: wo Gremien nicht einig sind, welche Skalenstufen niemand verwendet, was oft nicht zutrifft. Zurückgezogene Berichte sind ausgelassen.',
    choose: 'Protokollversion',
    invented: 'Dieses Protokoll ist erfundenes Vorführmaterial.',
    n: (evaluations, ratings) =>
      `${plural(evaluations, 'abgeschlossene Begutachtung', 'abgeschlossene Begutachtungen')}, ${plural(ratings, 'gezähltes Urteil', 'gezählte Urteile')}.`,
    paper: (n) => `Davon ${String(n)} von Papier übernommen, von diesem Programm nie versiegelt.`,
    none: 'Noch keine abgeschlossene Begutachtung.',
    tooFew: (n, from) =>
      `Bisher ${plural(n, 'abgeschlossene Begutachtung', 'abgeschlossene Begutachtungen')}. Zahlen gibt es ab ${String(from)}: Aus weniger ließen sich die Urteile eines einzelnen Gremiums ablesen.`,
    few: (n) =>
      `Nur ${String(n)} Begutachtungen: Was hier steht, kann an den begutachteten Stücken liegen, nicht am Protokoll. Nehmen Sie es als Frage, nicht als Antwort.`,
    low: 'Aufgaben mit geringer Übereinstimmung',
    lowHint: (cut) =>
      `Mittlere Abweichung vom Median über ${cut} Stufen (ein Sechstel der Skalenstufen), oder weniger als zwei Drittel der Paare innerhalb einer Stufe.`,
    lowWidest: 'Keine. Am weitesten auseinander liegen:',
    lowLine: (deviation, within, pairs, diverged, of) =>
      `Abweichung ${deviation}, ${within} von ${plural(pairs, 'Paar', 'Paaren')} innerhalb einer Stufe, strittig in ${String(diverged)} von ${String(of)}`,
    unused: 'Nie verwendete Skalenstufen',
    unusedAll: (points) => `Bei gar keiner Aufgabe: ${points}.`,
    unusedNone: 'Jede Skalenstufe wurde bei irgendeiner Aufgabe verwendet.',
    unusedHint:
      'Eine Skalenstufe, die niemand verwendet, hat vielleicht eine Beschreibung, die niemand wiedererkennt, oder die Stücke waren nie so gut oder so schlecht. Eine Aufgabe mit wenigen Urteilen lässt Skalenstufen durch Zufall aus.',
    unusedLine: (points, n) => `${points} (${plural(n, 'Urteil', 'Urteile')})`,
    absent: 'Oft nicht zutreffend oder nicht beobachtet',
    absentNone: 'Keine.',
    absentHint: 'Ein Fünftel der Antworten oder mehr.',
    absentLine: (na, no, n) =>
      `nicht zutreffend ${na}, nicht beobachtet ${no} von ${plural(n, 'Antwort', 'Antworten')}`,
    all: 'Jede Aufgabe',
    columns: {
      task: 'Aufgabe',
      n: 'Begutachtungen, Urteile',
      deviation: 'Abweichung',
      within: 'Innerhalb einer Stufe',
      diverged: 'Strittig',
      unused: 'Nie verwendet',
      na: 'Nicht zutreffend',
      no: 'Nicht beobachtet',
    },
  },
  practice: {
    title: 'Üben',
    lead: 'Beurteilen Sie, was ein anderes Gremium beurteilt und abgeschlossen hat, versiegelt wie immer; sehen Sie dann Aufgabe für Aufgabe, wie weit Sie von dem entfernt sind, was es geklärt hat. Ihre Übung ist Teil keines Berichts, und niemand sieht sie außer Ihnen; die Leitung nur, wenn Sie es erlauben.',
    rules: [
      'Vom Beginn einer Übung bis zu ihrem Ende sehen Sie keine Ergebnisse, weder hier noch im Katalog. Sie ist nur etwas wert, wenn Sie jenen Bericht nicht schon gelesen haben.',
      'Sie urteilen nach der Beschreibung und den Bildern, nicht mit dem Stück in der Hand: Ein Abstand kann daher kommen.',
    ],
    none: 'Es gibt nichts zum Üben: Nötig ist eine abgeschlossene Begutachtung eines Gremiums, in dem Sie keinen Platz hatten.',
    begin: 'Beginnen',
    goOn: 'Weitermachen',
    look: 'Ansehen',
    states: { open: '', begun: 'begonnen', finished: 'beendet', 'given-up': 'aufgegeben' },
    back: 'Alle Übungen',
    sealed:
      'Versiegelt: Ihre Urteile bleiben auf diesem Gerät, bis Sie die Übung beenden, und nichts von dem, was das Gremium festgestellt hat, ist hier.',
    piece: 'Das Stück',
    noPictures: 'Von der Begutachtung eines anderen Gremiums werden die Bilder nicht gezeigt.',
    pictures: 'Bilder zu dieser Aufgabe',
    task: 'Aufgabe',
    previous: 'Vorige',
    next: 'Nächste',
    answered: (n, of) => `${String(n)} von ${String(of)} Aufgaben beantwortet`,
    fleeting:
      'Dieser Browser bewahrt auf diesem Gerät nichts auf: Beenden Sie die Übung, bevor Sie diese Seite verlassen, sonst sind Ihre Antworten weg.',
    share: 'Die Leitung darf sehen, wie es ging. Ich kann das zurücknehmen.',
    finish: 'Beenden und vergleichen',
    finishTitle: 'Die Übung beenden?',
    finishLead: (open) =>
      `${open === 0 ? '' : `${plural(open, 'Aufgabe hat keine Antwort und wird', 'Aufgaben haben keine Antwort und werden')} nicht verglichen. `}Danach lässt sich darin nichts mehr ändern.`,
    needed: 'Beurteilen Sie mindestens eine Aufgabe. Was nicht zutrifft, braucht seine Begründung.',
    giveUp: 'Aufgeben',
    giveUpTitle: 'Diese Übung aufgeben?',
    giveUpLead:
      'Ergebnisse werden Ihnen wieder gezeigt, und diese Begutachtung wird nicht mehr zum Üben angeboten. Nichts davon wird aufbewahrt.',
    over: 'Sie haben diese Übung aufgegeben.',
    compared: 'Sie und das Gremium',
    hint: 'Die dicke Linie ist, was das Gremium geklärt hat. Ein Balken nach rechts: Sie haben höher geurteilt, um so viele Stufen; nach links: niedriger.',
    lower: 'Sie niedriger',
    higher: 'Sie höher',
    settledLine: 'geklärt',
    summary: (n, distance, signed, within) =>
      `${plural(n, 'Aufgabe', 'Aufgaben')} verglichen: im Mittel ${distance} Stufen vom geklärten Wert entfernt (${signed} mit Vorzeichen), ${within} innerhalb einer Stufe.`,
    nothing: 'Keine Aufgabe konnte verglichen werden.',
    own: (text) => `Sie: ${text}.`,
    settled: (value) => `Geklärt bei ${value}.`,
    unsettled: 'Das Gremium hat keinen Wert geklärt.',
    how: {
      adopt: 'Der Median, übernommen.',
      decide: 'Festgelegt.',
      'leave-open': 'Beim Median offen gelassen.',
    },
    range: (low, high, n) =>
      `Das Gremium, ${plural(n, 'Urteil', 'Urteile')}: ${low === high ? low : `${low} bis ${high}`}.`,
    reason: (text) => `Begründung: ${text}`,
    noReason: 'Keine Begründung wurde geschrieben: Die Aufgabe war nicht strittig.',
    shared: 'Der Leitung gezeigt',
    notShared: 'Niemandem gezeigt',
    showLead: 'Der Leitung zeigen',
    hideLead: 'Der Leitung nicht mehr zeigen',
    better:
      'Abstand ist kein Fehler: Das Gremium hatte das Stück in der Hand, und auch Gremien irren.',
  },
};
