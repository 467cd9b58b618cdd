import type { trialWords as english } from '../en/trials.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the bench: the stopwatch, the trials, and what they say. */
export const trialWords: SameWords<typeof english> = {
  trials: {
    title: 'Versuche',
    media: 'Fotos und Clips',
    series: 'Messreihe aus einer Datei',
    access: 'Zeit bis zum Zugang',
    fromFile: (file) => `aus ${file}`,
    fromFiles: (file, names) => `aus ${file}: ${names}`,
    typeInstead: 'Stattdessen eintippen',
    criterionMeasured:
      'Das Protokoll sagt, was die Messwerte hier entscheiden. Wo sie eine Antwort geben, gelten sie; Ihre Antwort steht daneben und gilt, wo nichts gemessen wurde.',
    safety: 'Vor einer Sitzung',
    task: 'Aufgabe',
    state: 'Ausrüstung',
    notItsState: (title) =>
      `Das Protokoll beurteilt diese Aufgabe im Zustand „${title}“. Ein Versuch in einem anderen Zustand wird gesichert und daneben gezählt.`,
    condition: 'Dieser Versuch ist',
    conditions: {
      equipment: 'Mit der Ausrüstung',
      reference: 'Ohne sie (Vergleich)',
      practice: 'Übung, zählt nicht',
      'hidden-fault': 'Mit verborgenem Fehler',
    },
    operator: 'Durchführung',
    operatorHint: 'Ein Buchstabe oder eine Zahl für den Tag, nie ein Name: Es bleibt festgehalten.',
    operatorNeeded: 'Sagen Sie, wer durchführt: ein Buchstabe oder eine Zahl, etwa K1.',
    attempt: (n) => `Durchgang ${String(n)} dieser Person`,
    start: 'Start',
    split: 'Zwischenzeit',
    stop: 'Stopp',
    again: 'Zeit neu nehmen',
    typed: 'Zeit stattdessen eingeben',
    running: 'Läuft seit',
    clockBack: 'Die Uhr dieses Geräts wurde zurückgestellt. Geben Sie die Zeit von Hand ein.',
    splitLabel: (n) => `Zwischenzeit ${String(n)}`,
    splits: {
      title: (n) => plural(n, 'Zwischenzeit', 'Zwischenzeiten'),
      what: 'Marke',
      at: 'Seit dem Start',
      since: 'Seit der Marke davor',
      split: (n, label) => (label === '' ? `Zwischenzeit ${String(n)}` : label),
      ends: {
        go: 'Start',
        split: 'Zwischenzeit',
        done: 'Geschafft',
        'not-done': 'Angehalten, nicht geschafft',
      },
    },
    spoilt: 'Diesen Lauf verwerfen',
    voidTitle: 'Diesen Versuch verwerfen?',
    voidLead: 'Er scheidet als Nachweis aus und bleibt mit dem Grund festgehalten.',
    voidReason: 'Was schiefging',
    voidGo: 'Verwerfen',
    done: 'Geschafft',
    notDone: 'Nicht geschafft (aufgegeben oder Zeitgrenze erreicht)',
    outcome: 'Wie ging es aus?',
    time: 'Zeit',
    timeHint: 'Sekunden, oder Minuten und Sekunden: 65,5 oder 1:05.5',
    timeOf: (name) => `Zeit: ${name}`,
    untimed: 'Leer lassen, wenn keine Zeit genommen wurde.',
    measures: 'Gemessen',
    unit: (unit) => (unit === '' ? '' : ` (${unit})`),
    confirm: 'So ist es gemeint',
    useTime: 'Zeit der Stoppuhr übernehmen',
    criterion: 'War in diesem Versuch das Kriterium eines kritischen Versagens erfüllt?',
    criterionAnswers: { yes: 'Ja, erfüllt', no: 'Nein', unknown: 'Nicht zu sagen' },
    note: 'Notiz',
    enter: 'Versuch eintragen',
    enterCorrection: 'Berichtigung eintragen',
    correcting: 'Sie berichtigen einen früheren Versuch. Die alten Werte bleiben festgehalten.',
    cancelCorrection: 'So lassen, wie er war',
    list: 'Versuche dieser Aufgabe',
    none: 'Noch kein Versuch dieser Aufgabe.',
    late: (n) =>
      `Nach dem Abschluss angekommen: ${plural(n, 'Versuch', 'Versuche')} von diesem Gerät. Sie bleiben hier; sichern Sie sie als Grund für eine erneute Begutachtung.`,
    export: 'Als Datei sichern',
    refused:
      'Der Server hat die letzten Einträge nicht angenommen. Sie sind auf diesem Gerät gesichert. Sichern Sie sie zuerst als Datei: Eine Bemerkung zu einer Aufgabe, deren Runde versiegelt ist, wird nicht noch einmal gesendet.',
    resend: 'Meine Versuche noch einmal senden',
    correct: 'Berichtigen',
    void: 'Verwerfen',
    by: (name, time) => `eingetragen von ${name}, ${time}`,
    waiting: 'auf diesem Gerät, noch nicht gespeichert',
    replaced: 'berichtigt; der neuere zählt',
    voided: (name, reason) => `verworfen (${name}): ${reason}`,
    notDoneAt: (time) => `nicht geschafft bei ${time}`,
    notDonePlain: 'nicht geschafft',
    doneIn: (time) => `geschafft in ${time}`,
    donePlain: 'geschafft, ohne Zeit',
    met: 'Kriterium erfüllt',
    sheet: 'Zu meinem Bogen',
    desk: 'Zum Pult',
    follow: 'Begutachtung mitverfolgen',
    over: 'Diese Begutachtung ist beendet. Ihre Versuche können gelesen, nicht geändert werden.',
    hidden: 'Nach diesem Protokoll werden die Versuche nach der ersten Öffnung gezeigt.',
    mayNot: 'Ihr Platz sieht zu; er trägt keine Versuche ein.',
  },
  faults: {
    outcome: 'Sagen Sie, wie es ausging.',
    criterion: 'Beantworten Sie das.',
    notDoneThen:
      'Das ist eine Zeit, zu der es nicht geschafft war. Wählen Sie „nicht geschafft“, oder geben Sie die gebrauchte Zeit ein.',
    empty: 'Lassen Sie es leer, wo es nicht dazu kam, und sagen Sie es in der Notiz.',
    tooMuch:
      'Das ist mehr, als ein Versuch aufnehmen kann. Kürzen Sie die Notiz, oder lassen Sie Werte weg.',
  },
  save: {
    nothing: 'Noch nichts eingetragen',
    kept: 'Auf diesem Gerät gesichert, wartet auf den Server',
    saving: 'Wird gesendet …',
    refused: 'Vom Server nicht angenommen',
    saved: (time) => `Gespeichert ${time}`,
  },
  evidence: {
    title: 'Was die Versuche sagen',
    none: 'Noch zählt kein Versuch dieser Aufgabe.',
    measured: (n) =>
      `In ${plural(n, 'Versuch', 'Versuchen')} haben die Messwerte nach den Grenzen des Protokolls geantwortet.`,
    differs: (n) =>
      `In ${plural(n, 'Versuch', 'Versuchen')} wurde etwas anderes vermerkt als gemessen. Der Messwert gilt; sehen Sie sich den Versuch an.`,
    share: (done, of, lower, upper) =>
      `Geschafft in ${String(done)} von ${plural(of, 'Versuch', 'Versuchen')} mit der Ausrüstung (95-%-Grenzen ${lower} bis ${upper}).`,
    median: (time) => `Mittlere Zeit ${time}, ein nicht geschaffter Versuch als längster gezählt.`,
    noMedian: (why) => `Keine mittlere Zeit: ${why}.`,
    criterion: {
      met: (met, of) =>
        `Das Kriterium eines kritischen Versagens ist erfüllt: in ${String(met)} von ${plural(of, 'beurteilten Versuch', 'beurteilten Versuchen')}.`,
      'not-met': (met, of) =>
        `Das Kriterium eines kritischen Versagens ist nicht erfüllt: in ${String(met)} von ${plural(of, 'beurteilten Versuch', 'beurteilten Versuchen')}.`,
      'not-enough-trials': (_met, of, least) =>
        `Nicht genug Versuche für das Kriterium: ${String(of)} beurteilt, ${String(least)} nötig.`,
    },
    compared: (difference, lower, upper) =>
      `Neben derselben Aufgabe ohne sie: ${difference} s (95-%-Grenzen ${lower} bis ${upper}).`,
    times: (ratio) => `Das ist ${ratio}-mal so lang.`,
    beside: (parts) => `Hier nicht gezählt: ${parts}.`,
    parts: {
      reference: (n) => plural(n, 'Vergleichsversuch', 'Vergleichsversuche'),
      otherState: (n) => `${String(n)} in einem anderen Zustand`,
      practice: (n) => `${String(n)} zur Übung`,
      hiddenFault: (n) => `${String(n)} mit verborgenem Fehler`,
      voided: (n) => `${String(n)} verworfen`,
    },
    staged:
      'Ein gestellter Versuch mit geschulten Personen. Im Notfall gelten die örtlichen Vorgaben und die ärztliche Leitung.',
    open: 'Versuche öffnen',
  },
};
