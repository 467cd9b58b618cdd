import type { deskWords as english } from '../en/desk.ts';
import type { SameWords } from '../same-words.ts';
import { fitSentences } from './fit.ts';
import { plural } from './plural.ts';

/** Words of the desk, the wall and the record. */
export const deskWords: SameWords<typeof english> = {
  desk: {
    title: 'Pult',
    paper: 'Urteile von Papier übernehmen',
    start: 'Runde 1 beginnen, versiegelt',
    startNone: 'Laden Sie zuerst mindestens eine Person zum Begutachten ein.',
    open: 'Runde öffnen',
    openWith: (k, n) => `Öffnen, ${String(k)} von ${String(n)} fertig`,
    openAgain: 'Zum Öffnen noch einmal drücken',
    openMissing: (who) => `Nicht fertig: ${who}.`,
    fit: {
      standings: {
        'not-asked': '',
        ...fitSentences,
        overridden: 'Offen ohne bestandene Passformprüfung:',
      },
      open: 'Passformprüfung',
      override: 'Ohne sie weitergehen',
      reason: 'Grund, ohne bestandene Passformprüfung weiterzugehen',
      lead: 'Zuerst gilt die Anleitung des Herstellers. Der Grund steht im Bericht, im Druck und in der Datei; eine spätere Prüfung hebt ihn auf.',
    },
    pegs: 'Wer da ist',
    finished: 'fertig',
    rating: 'urteilt',
    seated: 'sitzt',
    away: 'nicht verbunden',
    also: (who) => `Moderiert auch: ${who}`,
    here: 'gerade da',
    atTheDoor: (n) => `${plural(n, 'Person wartet', 'Personen warten')} auf Einlass: zum Gremium`,
    agenda: 'Ablauf',
    queue: 'Zu besprechen',
    queueOrder: 'Kritisches Versagen zuerst, dann Abstand, dann Gewicht.',
    queueEmpty: 'Nichts ist mehr zu besprechen.',
    queueSealed: 'Kommt mit der Öffnung.',
    sealed:
      'Urteile sind verdeckt, bis die Runde geöffnet wird. Nichts davon steht auf diesem Bildschirm.',
    presentHere: 'Auf der Wand zeigen',
    presented: 'Jetzt auf der Wand',
    adopt: 'Median übernehmen',
    again: 'Zweite Runde',
    inAgain: 'In der zweiten Runde',
    decide: 'Festlegen',
    leaveOpen: 'Offen lassen',
    value: 'Wert, Stufen oder halbe Stufen',
    reason: 'Begründung, wird festgehalten',
    settle: 'Klären',
    reopen: 'Wieder öffnen',
    reopenReason: 'Warum sie wieder geöffnet wird',
    adoptAll: (n) => `${plural(n, 'unstrittige Aufgabe', 'unstrittige Aufgaben')} übernehmen`,
    callRound: (n) => `Zweite Runde zu ${plural(n, 'Aufgabe', 'Aufgaben')} beginnen`,
    gate: 'Kritisches Versagen',
    gateProposed: (who) => `Vorgeschlagen von ${who}`,
    gateWorst: (who) => `Als schlechteste Stufe beurteilt von ${who}`,
    gateTrials: {
      met: 'Die Versuche erfüllen das Kriterium.',
      'not-met': 'Die Versuche erfüllen das Kriterium nicht.',
      'not-enough-trials': 'Zu wenige Versuche, um zu sagen, ob das Kriterium erfüllt ist.',
    },
    gateAnew: 'Nach der Ablehnung haben die Versuche das Kriterium erfüllt: Entscheiden Sie neu.',
    gateOwed: 'Ihre Entscheidung steht aus.',
    confirm: 'Bestätigen',
    reject: 'Ablehnen',
    gateReason: 'Grund für Bestätigung oder Ablehnung',
    confirmed: 'Bestätigt: Hier war die Versorgung blockiert',
    rejected: 'Abgelehnt',
    notBacked: 'nicht durch Versuche gestützt',
    late: 'Verspätete Urteile',
    lateLine: (who, made, came) =>
      `${who}: abgegeben ${made} nach der Uhr des Geräts, angekommen ${came}`,
    lateOld: (text) => `Festgehalten: ${text}`,
    lateNew: (text) => `Verspätet: ${text}`,
    admit: 'Zulassen',
    leaveOut: 'Nicht zulassen',
    admitted: 'zugelassen',
    leftOut: 'nicht zugelassen',
    agreement: 'Übereinstimmung',
    alpha: (v) => `Krippendorffs Alpha (ordinal): ${v}`,
    alphaCaveat:
      'Es sinkt, wenn sich die Aufgaben kaum unterscheiden, obwohl das Gremium einig ist: Lesen Sie es neben den Anteilen der Paare.',
    within: (w, e) => `${w} der Urteilspaare innerhalb einer Stufe, ${e} gleich`,
    noPairs: (why) => `Urteilspaare lassen sich nicht vergleichen: ${why}.`,
    few: 'Weniger als drei gezählte Personen: Jede kann auf das Urteil der anderen schließen.',
    lock: 'Begutachtung abschließen',
    before: 'Vor dem Abschluss',
    conditions: {
      'round-opened': (n) => (n > 0 ? 'Die Runde ist nicht geöffnet' : 'Die Runde ist geöffnet'),
      declarations: (n) =>
        n > 0
          ? `${plural(n, 'Moderation ohne Offenlegung', 'Moderationen ohne Offenlegung')}`
          : 'Alle haben offengelegt',
      gates: (n) =>
        n > 0
          ? `${plural(n, 'kritisches Versagen', 'Fälle von kritischem Versagen')} zu entscheiden`
          : 'Kritisches Versagen entschieden',
      late: (n) =>
        n > 0
          ? `${plural(n, 'verspätetes Urteil', 'verspätete Urteile')} zu entscheiden`
          : 'Verspätete Urteile entschieden',
      divergent: (n) =>
        n > 0
          ? `${plural(n, 'strittige Aufgabe', 'strittige Aufgaben')} zu klären`
          : 'Strittige Aufgaben geklärt',
      unsettled: (n) =>
        n > 0
          ? `${plural(n, 'unstrittige Aufgabe', 'unstrittige Aufgaben')} zu übernehmen`
          : 'Unstrittige Aufgaben übernommen',
      reviewers: (n) =>
        n > 0
          ? 'Weniger als drei gezählte Personen: Der Bericht sagt es'
          : 'Drei oder mehr gezählte Personen',
      endorsements: (n) =>
        n > 0
          ? `${plural(n, 'Person hat', 'Personen haben')} nicht gesagt, ob sie einverstanden wären, dass es getragen wird`
          : 'Alle ohne Bindung haben gesagt, ob sie einverstanden wären',
    },
    endorsementWeighs: (share) =>
      `Dieses Protokoll gibt diesen Äußerungen ${share} des Gesamtwerts, und mehr, wo Abschnitte ohne Urteil bleiben. Sie gehen beim Abschluss ein; bis dahin sieht niemand, wer was gesagt hat. Der Bericht nennt auch den Gesamtwert ohne sie.`,
    meanwhile: {
      locked: (who, at) => `${who} hat die Begutachtung um ${at} abgeschlossen.`,
      again: 'Inzwischen wurde eine weitere Runde begonnen.',
      gate: (who, at) => `${who} hat um ${at} über dieses kritische Versagen entschieden.`,
      settled: (who, at) => `${who} hat diese Aufgabe um ${at} geklärt.`,
      late: 'Jemand anderes hat über dieses verspätete Urteil entschieden.',
      opened: 'Inzwischen wurde die erste Runde geöffnet.',
      overridden: (who, at) => `${who} hat um ${at} einen Grund angegeben, ohne sie weiterzugehen.`,
      fits: 'Inzwischen wurde eine Passformprüfung bestanden.',
      over: 'Die Begutachtung ist inzwischen beendet.',
    },
    lockTitle: 'Diese Begutachtung abschließen?',
    lockLead:
      'Nach dem Abschluss kann sich darin nichts mehr ändern. Eine erneute Begutachtung kann folgen; gelöscht wird nichts.',
    meaning: 'Wofür Ihre Signatur steht',
    meaningDefault: 'Ich habe dieses Gremium geleitet und stehe zu diesem Bericht.',
    lockGo: 'Abschließen und signieren',
    keys: 'Tasten',
    keysOn: 'Tastenkürzel sind eingeschaltet',
    keysList: [
      ['J, K', 'nächste und vorige Aufgabe'],
      ['O', 'Runde öffnen (fragt nach)'],
      ['S', 'Aufgabe klären'],
      ['R', 'zweite Runde für die Aufgabe'],
      ['W', 'Aufgabe auf der Wand zeigen'],
      ['?', 'diese Liste'],
    ],
    inThisRound: 'in dieser Runde',
    settledMark: 'geklärt',
    divergentMark: 'strittig',
    withdraw: 'Begutachtung zurückziehen',
    withdrawReason: 'Warum sie zurückgezogen wird',
  },
  wall: {
    waiting: 'Warten auf die erste Runde',
    more: (n) => `und noch ${String(n)} dazu`,
    sealedFor: (minutes) =>
      minutes < 1
        ? 'Versiegelt, es wird geurteilt'
        : `Versiegelt seit ${plural(minutes, 'Minute', 'Minuten')}, es wird geurteilt`,
    joinCode: (address) => `Code zum Scannen für ${address}`,
    allIn: 'Alle sind fertig',
    join: 'Platz einnehmen unter',
    again: 'Aus der Runde davor',
    opened: 'Geöffnet',
    locked: 'Abgeschlossen',
    divergent: (n) => `${String(n)} zu besprechen`,
  },
  record: {
    title: 'Bericht',
    notYet: 'Einen Bericht gibt es, sobald die Begutachtung abgeschlossen ist.',
    opening: 'Der Bericht wird erstellt …',
    again: 'Noch einmal versuchen',
    contents: 'In diesem Bericht',
    invented: 'Erfundenes Vorführmaterial. Alle Namen und Daten sind ausgedacht.',
    taskColumn: 'Aufgabe',
    settledColumn: 'Geklärt',
    noLine: 'nicht auf der Skala',
    files: 'Dateien',
    download: 'Signierte Datei',
    paper: { a4: 'PDF, A4', letter: 'PDF, Letter' },
    data: 'Daten als CSV',
    dataFiles: {
      'ratings.csv': 'Urteile',
      'tasks.csv': 'Aufgaben',
      'events.csv': 'Ereignisse',
      'counted.csv': 'Gezählte Urteile, für „analyse“',
      'dictionary.csv': 'Verzeichnis der Spalten',
    },
    dataHint:
      'Text, den eine Tabellenkalkulation als Formel läse, hat ein Hochkomma davor; auch das Verzeichnis sagt es.',
    print: 'Drucken',
  },
};
