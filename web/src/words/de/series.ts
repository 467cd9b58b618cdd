import type { seriesWords as english } from '../en/series.ts';
import type { SameWords } from '../same-words.ts';
import { megabytes, sizeText } from '../../format/bytes.ts';
import { plural } from './plural.ts';

/** Words of the series screen: choosing a file, its columns, what it gives, keeping it. */
export const seriesWords: SameWords<typeof english> = {
  series: {
    title: 'Messreihe aus einer Datei',
    back: 'Zu den Versuchen',
    lead: 'Bewegung von Kopf und Rumpf oder Kompressionen und Beatmungen einer Übungspuppe, aus einer CSV-Datei. Die Datei wird gelesen und nicht aufbewahrt: Sichern Sie ihre Werte in einem Versuch.',
    choose: 'CSV-Datei auswählen',
    another: 'Andere Datei auswählen',
    chosen: (name, bytes) => `${name}, ${sizeText(bytes)}`,
    limits: 'Höchstens 200.000 Zeilen und 96 MB; die erste Zeile nennt die Spalten; UTF-8.',
    tooBig: 'Diese Datei ist größer als 96 MB. Kürzen Sie sie auf den Versuch.',
    unreadable:
      'Dieses Gerät kann die Datei nicht mehr lesen. Wählen Sie sie neu aus: Die Spalten bleiben.',
    noColumns:
      'Es wurden keine Spalten gefunden. Die erste Zeile muss sie nennen, und eine weitere Zeile muss folgen.',
    notText:
      'Das ist kein Text in UTF-8. Speichern Sie die Datei als CSV UTF-8 und wählen Sie sie neu aus.',
    columns: 'Was die Spalten sind',
    course: 'Wie weit das Lesen ist',
    outcome: 'Was das Lesen ergab',
    first: 'Die ersten Zeilen, wie sie dastehen',
    marks: (part) => `gelesen als ${part}`,
    writing: 'Wie die Datei geschrieben ist',
    delimiter: 'Zwischen den Zellen',
    delimiters: { ',': 'Komma', ';': 'Semikolon', '\t': 'Tabulator' },
    decimal: 'Dezimalzeichen',
    decimals: { '.': 'Punkt', ',': 'Komma' },
    kind: 'Was die Datei enthält',
    kinds: {
      motion: 'Bewegung des Kopfes',
      manikin: 'Kompressionen und Beatmungen einer Übungspuppe',
    },
    pick: 'Auswählen …',
    none: 'Nicht in dieser Datei',
    guessed:
      'Die Spalten sind nach den Überschriften geraten. Sehen Sie jede an; ändern Sie, was nicht stimmt.',
    kept: 'Die Spalten sind so, wie Sie sie zuvor gewählt haben.',
    time: 'Zeit',
    noTime: 'Keine Zeiten: Die Zeilen folgen im Takt der Rate',
    timeUnit: 'Einheit der Zeit',
    units: { s: 'Sekunden', ms: 'Millisekunden', deg: 'Grad', rad: 'Radiant' },
    rate: 'Rate des Systems, Abtastwerte pro Sekunde',
    rateHint:
      'So, wie sie eingestellt war. Eine Lücke ist, wo die Zeit um mehr als eineinhalb Abstände springt.',
    head: 'Orientierung des Kopfes',
    torso: 'Orientierung des Rumpfes',
    torsoTracked: 'Auch der Rumpf wurde erfasst',
    noTorso: 'Ohne den Rumpf ist dies Bewegung im Raum, nicht des Kopfes gegen den Rumpf.',
    form: 'Geschrieben als',
    forms: {
      quaternion: 'Quaternion',
      matrix: 'Drehmatrix',
      cardan: 'Drei Winkel',
    },
    part: (kind, i) =>
      ({
        quaternion: ['w (skalar)', 'x', 'y', 'z'][i],
        matrix: `Zeile ${String(Math.floor(i / 3) + 1)}, Spalte ${String((i % 3) + 1)}`,
        cardan: ['Erster Winkel', 'Zweiter Winkel', 'Dritter Winkel'][i],
      })[kind] ?? '',
    turnOrder: 'Achsen in der Reihenfolge der Drehungen',
    angleUnit: 'Einheit der Winkel',
    tracked: 'Was den Marker des Kopfes trug',
    trackeds: {
      head: 'Der Kopf selbst',
      helmet: 'Der Helm, der sich auf dem Kopf bewegen kann',
    },
    axes: 'Achsen des Rumpfes: wohin sie zeigen',
    axis: {
      flexion: 'Von Seite zu Seite (um sie geschehen Beugung und Streckung)',
      sideBending: 'Von vorn nach hinten (um sie geschieht die Seitneigung)',
      rotation: 'Entlang der Wirbelsäule (um sie geschieht die Drehung)',
    },
    axesHint:
      'Aus der Anleitung oder der Einrichtung Ihres Systems: Keine Datei sagt es. Falsche Achsen vertauschen die Ebenen.',
    turns: 'Die Winkel werden in dieser Reihenfolge genommen',
    turnsHint:
      'Eine andere Reihenfolge ergibt andere Winkel. Sie wird mit den Werten festgehalten.',
    planes: {
      flexion: 'Beugung–Streckung',
      sideBending: 'Seitneigung',
      rotation: 'Drehung',
    },
    press: 'Kompressionen',
    breaths: 'Beatmungen',
    depth: 'Tiefe einer Kompression',
    depthUnit: 'Einheit der Tiefe',
    released: 'Vollständig entlastet (ja oder nein)',
    hand: 'Handposition richtig (ja oder nein)',
    volume: 'Volumen einer Beatmung',
    volumeUnit: 'Einheit des Volumens',
    success: 'Beatmung kam an (ja oder nein)',
    inspiration: 'Inspirationszeit, Sekunden',
    span: 'Der Versuch innerhalb der Datei',
    from: 'Von Sekunde',
    to: 'Bis Sekunde',
    spanHint:
      'Leer: von der ersten bis zur letzten Kompression. Beatmungen pro Minute und die Zeit bis zur ersten Beatmung brauchen beide Enden.',
    faults: {
      choose: 'Wählen Sie etwas aus.',
      decimal: 'Ein Dezimalkomma kann nicht neben einem Komma zwischen den Zellen stehen.',
      rate: 'Geben Sie ein, wie viele Abtastwerte pro Sekunde das System nahm: eine Zahl über null.',
      columns: 'Wählen Sie für jede Zahl eine Spalte.',
      order: 'Wählen Sie die Reihenfolge der Drehungen und die Einheit.',
      axes: 'Wählen Sie für jede Richtung eine andere Achse.',
      time: 'Wählen Sie die Spalte der Zeit.',
      nothing: 'Wählen Sie mindestens eine Spalte mit Kompressionen oder Beatmungen.',
      number: 'Geben Sie Sekunden als Zahl ein, oder lassen Sie das Feld leer.',
      span: 'Das Ende muss nach dem Anfang liegen.',
    },
    missing: 'Einige Angaben fehlen. Sie sind oben gekennzeichnet.',
    read: 'Datei lesen',
    readAgain: 'Noch einmal lesen',
    reading: (name) => `${name} wird gelesen`,
    sent: (sent, of) => `${megabytes(sent)} von ${megabytes(of)} MB gelesen`,
    queued:
      'Zwei andere Dateien werden gerade gelesen. Ihre wartet auf diesem Gerät, bis sie an der Reihe ist, und wird dann von selbst gesendet.',
    working: 'Jede Zeile ist gelesen; die Werte werden berechnet …',
    cancel: 'Abbrechen',
    cancelled:
      'Abgebrochen. Nichts wurde gesichert; Datei und Spalten sind so, wie Sie sie gewählt haben.',
    cut: (percent) =>
      `Die Verbindung brach bei ${percent} ab. Nichts ist verloren: Datei und Spalten sind so, wie Sie sie gewählt haben.`,
    again: 'Noch einmal versuchen',
    refused: 'Der Server hat sie nicht gelesen:',
  },
  seriesFaults: {
    title: 'Die Datei hat Fehler, deshalb gibt es keine Werte',
    count: (total, rows) =>
      `${plural(total, 'Fehler', 'Fehler')} in ${plural(rows, 'Zeile', 'Zeilen')}. Beheben Sie sie in der Datei oder ändern Sie die Spalten; lesen Sie sie dann noch einmal.`,
    kept: (kept) => `Die ersten ${String(kept)} sind aufgeführt.`,
    place: 'Wo',
    fault: 'Was',
    remedy: 'Was zu tun ist',
    page: (from, to, of) => `${String(from)} bis ${String(to)} von ${String(of)} aufgeführten`,
    next: 'Weiter',
    earlier: 'Zurück',
  },
  seriesFigures: {
    title: 'Was die Datei ergibt',
    read: (rows, name) => `${plural(rows, 'Zeile', 'Zeilen')} aus ${name}`,
    figure: 'Größe',
    value: 'Wert',
    basis: 'Worauf er beruht',
    notValid: (why) => `Diese Messreihe ist nicht gültig und ergibt keinen Messwert: ${why}.`,
    published: (text, label) => `${text} (${label})`,
    house: (text, label) => `${text} (${label}; kein veröffentlichter Grenzwert)`,
    at: (seconds) => `bei ${seconds} s`,
    between: (from, to) => `zwischen ${from} s und ${to} s`,
    limits: (lower, upper) => `95-%-Grenzen ${lower} bis ${upper}`,
    of: (successes, of) => `${String(successes)} von ${String(of)}`,
    plane: (title) => `Von Spitze zu Spitze: ${title}`,
    planeBasis: (least, most, change) =>
      `${least}° bis ${most}° gegen die Ausgangshaltung; Ende minus Anfang ${change}°`,
    helical: 'Größter Schraubwinkel gegen die Ausgangshaltung',
    excursion: 'Größter Winkel zwischen zwei beliebigen Abtastwerten',
    rss: 'Wurzel aus der Summe der Quadrate der drei Spannen',
    rssBasis: 'Keine Drehung und keine Schranke für eine',
    gaps: 'Verlorene Abtastwerte',
    gapsBasis: (n) =>
      n === 0
        ? 'Keine Lücke'
        : `${plural(n, 'Lücke', 'Lücken')}; über 10 % ist eine Messreihe nicht gültig (Hausregel)`,
    blank: (n) => `${plural(n, 'leere Zelle', 'leere Zellen')} als verloren gezählt`,
    samples: (missing, all) => `${String(missing)} von ${String(all)}`,
    compressions: 'Kompressionen',
    runs: (n) =>
      `in ${plural(n, 'Folge', 'Folgen')}; eine Lücke von 1 s oder mehr beendet eine Folge`,
    rate: 'Frequenz innerhalb der Folgen',
    depth: 'Mittlere Tiefe',
    inTarget: 'Tiefe im Zielbereich',
    inTargetBasis: '50 bis 60 mm, Grenzen eingeschlossen (AHA-BLS-Tabelle)',
    recoil: 'Vollständig entlastet',
    hand: 'Handposition richtig',
    fraction: 'Kompressionsanteil',
    fractionBasis: (from, to) =>
      `Anteil von ${from} s bis ${to} s ohne die Pausen; eine Pause ist eine Lücke von 1 s oder mehr, abzüglich eines mittleren Abstands (Hausregel)`,
    pause: 'Längste Pause',
    pauses: (n) => plural(n, 'Pause', 'Pausen'),
    breaths: 'Beatmungen',
    success: 'Beatmungen, die ankamen',
    volume: 'Mittleres Volumen',
    ventRate: 'Beatmungen pro Minute',
    inspiration: 'Mittlere Inspirationszeit',
    first: 'Zeit bis zur ersten Beatmung, die ankam',
    staged:
      'Ein gestellter Versuch mit geschulten Personen. Im Notfall gelten die örtlichen Vorgaben und die ärztliche Leitung.',
  },
  seriesPlot: {
    angle: 'Winkel gegen die Ausgangshaltung',
    anglePlanes: 'Winkel in jeder Ebene',
    helical: 'Schraubwinkel',
    depth: 'Tiefe jeder Kompression',
    target: '50–60 mm (AHA-BLS-Tabelle)',
    seconds: 'Sekunden',
    mark: 'Markierung',
    marks: 'Was markiert ist',
    none: 'Nichts ist markiert.',
    largest: 'Größter Schraubwinkel',
    pairFrom: 'Größter Winkel zwischen zwei Abtastwerten: der erste',
    pairTo: 'Größter Winkel zwischen zwei Abtastwerten: der zweite',
    gap: (missing) => `Lücke, ${plural(missing, 'Abtastwert', 'Abtastwerte')} verloren`,
    pause: (seconds) => `Pause von ${seconds} s`,
    breath: { in: 'Beatmung kam an', out: 'Beatmung kam nicht an', unknown: 'Beatmung' },
    more: (n) => `${String(n)} weitere sind nicht markiert.`,
    thinned:
      'Die Kurve ist ausgedünnt; von jedem Abschnitt sind der kleinste und der größte Wert gezeichnet.',
    table: 'Als Tabelle zeigen',
    stretch: 'Sekunden',
    least: 'Kleinster',
    most: 'Größter',
    summary: (title, least, most, to, unit) =>
      `${title}: von ${least} bis ${most} ${unit} über ${to} Sekunden. Die Tabelle darunter sagt dasselbe.`,
  },
  seriesSplits: {
    title: 'Marken einer Stoppuhr',
    of: 'Versuch, dessen Zwischenzeiten in den Diagrammen stehen',
    none: 'Keiner',
    trial: (task, operator, time, splits, at) =>
      `${task} · ${operator} · ${time} · ${plural(splits, 'Zwischenzeit', 'Zwischenzeiten')} · ${at}`,
    go: 'Sekunde der Datei, in der die Stoppuhr gestartet wurde',
    goHint:
      'Stoppuhr und Aufnahme haben jede ihre eigene Uhr: Nur Sie wissen, wo sie zusammentreffen, etwa durch ein Klatschen beim Start. Darf unter 0 liegen.',
    goBad: 'Geben Sie Sekunden ein, etwa 2,5.',
    outside: (n) =>
      `${plural(n, 'Marke liegt', 'Marken liegen')} vor oder nach der Datei und ${n === 1 ? 'wird' : 'werden'} nicht gezeigt.`,
    shown: (trial, go) =>
      `Ganze Linien: die Stoppuhr von ${trial}, gestartet in Sekunde ${go} der Datei. Gepunktete Linien: in der Datei gefunden.`,
    mark: {
      go: () => 'Los',
      split: (label, since) => `${label === '' ? 'Zwischenzeit' : label} (+${since})`,
      done: (_label, since) => `Geschafft (+${since})`,
      'not-done': (_label, since) => `Angehalten, nicht geschafft (+${since})`,
    },
  },
  seriesKeep: {
    title: 'Die Werte in einem Versuch sichern',
    file: 'Der Name der Datei, wie er festgehalten wird',
    fileHint: 'Er bleibt für immer festgehalten: Kein Name einer Person darf darin stehen.',
    into: 'Wohin',
    fresh: 'Ein neuer Versuch',
    own: (task, operator, time) => `${task} · ${operator} · ${time}`,
    correcting:
      'Von Ihnen eingetragen: Der Versuch wird berichtigt; seine alten Werte bleiben festgehalten.',
    ownTime: (name) =>
      `${name} ist die eigene Zeit dieser Aufgabe. Geben Sie sie als Zeit ein; aus der Datei wird sie nicht übernommen.`,
    notAsked: (names) => `Bei dieser Aufgabe nach dem Protokoll nicht gemessen: ${names}.`,
    nothing:
      'Diese Aufgabe nimmt keinen dieser Werte auf. Wählen Sie eine andere Aufgabe oder einen anderen Versuch.',
    nameNeeded: 'Geben Sie der Datei einen Namen mit 1 bis 120 Zeichen.',
    done: 'Eingetragen. Der Versuch nennt die Datei, ihre Prüfsumme und wie sie gelesen wurde.',
    toTrials: 'Unter den Versuchen ansehen',
  },
};
