import type { protocolWords as english } from '../en/protocols.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';
import { choiceWords, furtherFields } from './protocol-choices.ts';
import { faultText } from './protocol-sentences.ts';

type English = SameWords<typeof english>;

/** Words of the list of protocols, of one version, and of what changed between two. */
const listWords: English['list'] = {
  title: 'Protokolle',
  lead: 'Wonach Gremien urteilen: Aufgaben, der Satz zu jeder Stufe, Gewichte, Regeln und Hinweise zur Vorsicht. Eine veröffentlichte Version ändert sich nie; Ergebnisse werden nur unter derselben Version verglichen.',
  loading: 'Die Protokolle werden geladen …',
  retry: 'Noch einmal versuchen',
  version: (v) => `Version ${v}`,
  counts: (sections, tasks) =>
    `${plural(tasks, 'Aufgabe', 'Aufgaben')} in ${plural(sections, 'Abschnitt', 'Abschnitten')}`,
  shipped: 'kam mit dem Programm',
  published: (by, at) => `veröffentlicht von ${by}, ${at}`,
  note: (note) => `Was neu ist: ${note}`,
  invented: 'erfundenes Material',
  copy: 'In einen Entwurf kopieren',
  open: 'Öffnen',
  drafts: 'Entwürfe',
  draftsLead:
    'Nur für Leitung und Moderation sichtbar. Jede Änderung wird schon beim Tippen gesichert; vor der Veröffentlichung wird nichts davon verwendet.',
  noDrafts: 'Kein Entwurf. Kopieren Sie eine Version oder laden Sie eine Datei.',
  untitled: 'Noch ohne Titel',
  savedBy: (by, at) => `gespeichert von ${by}, ${at}`,
  fromVersion: (id, version) => `aus ${id} ${version}`,
  fromFile: (name) => `aus der Datei ${name}`,
  bring: 'Eine Protokolldatei als Entwurf laden',
  bringHint:
    'Eine JSON-Datei von höchstens 1 MB. Sie darf Fehler haben: Der Entwurf führt sie alle auf.',
  tooLarge: 'Die Datei ist größer als 1 MB. Kürzen Sie ihre Texte.',
  notText:
    'Die Datei ist kein Text in UTF-8. Speichern Sie sie als UTF-8 und laden Sie sie noch einmal.',
  schema: 'JSON-Schema der Protokolldateien',
  onlyRead: 'Protokolle schreiben Leitung und Moderation.',
};

const versionWords: English['version'] = {
  origin: 'Herkunft',
  hash: 'SHA-256 des kanonischen Textes',
  scale: 'Skala',
  evidence: 'Versuche',
  endorsed: (share, yes, no) =>
    `${share} des Gesamtwerts, mehr, wo Abschnitte ohne Urteil bleiben; einverstanden zählt als ${yes} auf der Skala, nicht einverstanden als ${no}, wer nichts sagt, für keines`,
  evidenceBefore: 'vor dem Urteilen gezeigt',
  evidenceAfter: 'bis zur ersten Öffnung zurückgehalten',
  rounds: 'Runden höchstens',
  weight: 'Gewicht',
  task: 'Aufgabe',
  gate: 'kritisches Versagen möglich',
  weightHint: 'Länge von der Linie aus: der Anteil des Abschnitts am Gesamtwert.',
  share: (weight, share) => `${weight} (${share})`,
  download: 'Datei herunterladen',
  cautions: 'Hinweise zur Vorsicht',
  back: 'Alle Protokolle',
  compareWith: 'Vergleichen mit',
  compare: 'Sagen, was sich geändert hat',
  nothingElse: 'Es gibt keine andere Version zum Vergleichen.',
};

const changeWords: English['changes'] = {
  title: (older, newer) => `Was sich von ${older} zu ${newer} geändert hat`,
  none: 'Nichts: Beide sagen dasselbe.',
  effects: {
    ratings: 'Urteile bleiben nicht vergleichbar',
    figures: 'Urteile bleiben vergleichbar, daraus berechnete Zahlen nicht',
    none: 'Ergebnisse bleiben vergleichbar',
  },
  count: (n) => plural(n, 'Änderung', 'Änderungen'),
};

const editorWords: English['editor'] = {
  title: (title) => `Entwurf: ${title}`,
  save: {
    clean: (revision, by, at) => `Gespeichert als Fassung ${String(revision)} von ${by}, ${at}`,
    saved: (revision, at) => `Gespeichert als Fassung ${String(revision)}, ${at}`,
    waiting: 'Eingabe läuft; wird gleich gespeichert',
    saving: 'Wird gespeichert …',
    offline:
      'Nicht gespeichert: keine Verbindung zum Server. Auf diesem Gerät gesichert; wird von selbst noch einmal versucht.',
    refused: 'Nicht gespeichert. Es ist auf diesem Gerät gesichert.',
    conflict:
      'Nicht gespeichert: Jemand anderes hat diesen Entwurf geändert. Entscheiden Sie unten.',
    gone: 'Dieser Entwurf wurde veröffentlicht oder verworfen. Ihre letzte Eingabe ist noch hier: Laden Sie sie herunter.',
  },
  theirs: (by, at) => `${by} hat diesen Entwurf geändert, ${at}. Jetzt wird dieser Text gezeigt.`,
  restored: 'Was dieses Gerät noch nicht gesendet hatte, ist wieder hier.',
  form: 'Formular',
  text: 'Text (JSON)',
  view: 'Ansicht',
  parts: 'Teil des Protokolls',
  undo: 'Rückgängig',
  undone: (what) => `Rückgängig gemacht: ${what}`,
  removed: (what) => `Entfernt: ${what}. „Rückgängig“ holt es zurück.`,
  renamed: (from, to, places, more) =>
    `„${from}“ heißt jetzt „${to}“${
      places === ''
        ? '; nirgends wurde darauf verwiesen'
        : `, auch hier: ${places}${more > 0 ? ` und an ${plural(more, 'weiteren Stelle', 'weiteren Stellen')}` : ''}`
    }. „Rückgängig“ nimmt es zurück.`,
  renamedTwin: (from, to) =>
    `Dieser Eintrag heißt jetzt „${to}“. Auch ein anderer heißt „${from}“; was auf „${from}“ verweist, bleibt darum bei jenem. „Rückgängig“ nimmt es zurück.`,
  broken:
    'Der Text ist kein JSON, darum gibt es kein Formular. Beheben Sie es im Text; die Fehlerliste führt dorthin.',
  toText: 'Zum Text',
  publish: 'Veröffentlichen',
  publishTitle: (id, version) => `${id} ${version} veröffentlichen`,
  publishLead:
    'Von da an ändert sich diese Version nie, und jedes Gremium hier kann sie wählen. Laufende Begutachtungen behalten ihre.',
  publishNote: 'Was darin neu ist',
  publishFaults: (n) => `Vor dem Veröffentlichen zu beheben: ${plural(n, 'Fehler', 'Fehler')}.`,
  publishUnsaved: 'Veröffentlicht werden kann, sobald gespeichert ist.',
  discard: 'Verwerfen',
  discardTitle: 'Diesen Entwurf verwerfen',
  discardLead:
    'Er verschwindet für alle aus der Liste. Seine Änderungen bleiben in der Chronik des Arbeitsbereichs.',
  download: 'Herunterladen',
  against: (version) => `Was sich gegenüber ${version} ändert`,
  conflict: {
    title: 'Jemand anderes hat diesen Entwurf geändert',
    lead: 'Ihre Eingabe ist auf diesem Gerät gesichert.',
    theirs: 'Die andere Fassung übernehmen und meine herunterladen',
    apart: 'Meine als eigenen Entwurf behalten',
    over: 'Meine an die Stelle der anderen setzen',
  },
};

const faultWords: English['faults'] = {
  title: 'Prüfung',
  checking: 'Wird geprüft …',
  none: 'Kein Fehler. Der Entwurf kann veröffentlicht werden.',
  count: (n) => plural(n, 'Fehler', 'Fehler'),
  more: (n) => `${String(n)} weitere; beheben Sie zuerst diese.`,
  go: 'Dorthin',
  line: (line) => `Zeile ${String(line)}`,
  whole: 'Die Datei',
  here: (fault, remedy) => `${faultText(fault)}. ${faultText(remedy)}`,
};

const partWords: English['parts'] = {
  about: 'Titel und Version',
  scale: 'Skala',
  states: 'Zustände der Ausrüstung',
  tools: 'Werkzeuge',
  measures: 'Messgrößen',
  sections: 'Abschnitte und Gewichte',
  section: (letter, title) => `${letter} ${title}`,
  task: (title) => `– ${title}`,
  ladders: 'Technikfolgen',
  rules: 'Regeln: Strittiges, kritisches Versagen, Runden',
  cautions: 'Hinweise zur Vorsicht',
};

const listEditWords: English['edit'] = {
  up: (what) => `${what} nach oben`,
  down: (what) => `${what} nach unten`,
  remove: (what) => `${what} entfernen`,
  upShort: 'Nach oben',
  downShort: 'Nach unten',
  removeShort: 'Entfernen',
  openShort: 'Öffnen',
  open: (what) => `${what} öffnen`,
  addTo: 'Hinzufügen',
  choose: 'wählen',
  nothing: 'Nichts.',
  criterionHint:
    'Der Satz oben bleibt die Regel; mit Zahlen beantworten ihn gemessene Versuche, in der Einheit der Messgröße.',
  entries: {
    of: 'Bedingung',
    states: 'Zustand',
    tools: 'Werkzeug',
    measures: 'Messgröße',
    sections: 'Abschnitt',
    tasks: 'Aufgabe',
    ladders: 'Technikfolge',
    rungs: 'Technik',
    points: 'Punkt',
  },
  add: (entry) => `${entry} hinzufügen`,
  entry: (entry, n) => `${entry} ${String(n)}`,
  named: (entry, name) => `${entry} „${name}“`,
  anEntry: 'Eintrag',
  fill: 'Die fehlenden Sätze hinzufügen',
  idShape:
    'Kleinbuchstaben a bis z, Ziffern und Bindestriche, höchstens 64, am Anfang ein Buchstabe oder eine Ziffer. Nichts wurde umbenannt.',
  measureIdShape:
    'Buchstaben a bis z, Ziffern, Binde- und Unterstriche, höchstens 64, am Anfang ein Kleinbuchstabe. Nichts wurde umbenannt.',
  idTaken: (id, place) =>
    `„${id}“ ist schon die Kennung von: ${place}. Nichts wurde umbenannt: Schreiben Sie eine andere, oder benennen Sie zuerst jenen Eintrag um.`,
  weightShare: (weight, share) => `Gewicht ${weight}, ${share} des Gesamtwerts`,
  taskShare: (weight, share) => `Gewicht ${weight}, ${share} des Abschnitts`,
};

const fieldWords: English['fields'] = {
  ...furtherFields,
  id: 'Kennung',
  version: 'Version',
  title: 'Titel',
  invented: 'Erfundenes Vorführmaterial: Jeder Bildschirm und jede Datei sagt es dann',
  evidenceBeforeRating: 'Wer begutachtet, sieht die Versuche vor dem Urteilen',
  min: 'Niedrigster Punkt',
  max: 'Höchster Punkt',
  better: 'Bessere Seite',
  datum: 'Punkt, der „wie ohne die Ausrüstung“ bedeutet; leer für keinen',
  easierTick: 'Satz des Häkchens, das dort angeboten wird; leer für keines',
  value: 'Wert',
  word: 'Wort',
  meaning: 'Bedeutung',
  letter: 'Buchstabe',
  weight: 'Gewicht',
  basis: 'Grundlage',
  optional: 'Wahlfrei',
  state: 'Beurteilt im Zustand',
  does: 'Was getan wird',
  anchors: 'Was jede Stufe hier bedeutet',
  critical: 'Kritisches Versagen: das Kriterium der Versuche; leer, wenn es nie eines sein kann',
  onVideo: 'Auf Video zu beurteilen',
  notApplicable: 'Wann sie nicht zutrifft',
  caution: 'Vorsicht',
  tools: 'Verwendete Werkzeuge',
  measures: 'Messgrößen',
  name: 'Name',
  symbol: 'Formelzeichen',
  unit: 'Einheit',
  decimals: 'Nachkommastellen',
  rejectMin: 'Abgelehnt unter',
  rejectMax: 'Abgelehnt über',
  warnMin: 'Rückfrage unter',
  warnMax: 'Rückfrage über',
  threshold: 'Schwellenwert, wie veröffentlicht; leer für keinen',
  source: 'Quelle des Schwellenwerts',
  goal: 'Ziel',
  task: 'Technik (eine Aufgabe)',
  capSeconds: 'Aufgegeben nach, in Sekunden; leer für nie',
  lone: 'Einzelstimme: Punkte vom Median der anderen',
  split: 'Geteiltes Gremium: mittlere Abweichung über, in Punkten; leer, wenn nicht verwendet',
  minValidTrials: 'Kritisches Versagen: gültige Versuche mindestens',
  minShareOfValidTrials: 'Kritisches Versagen: Anteil daran mindestens, 0 bis 1',
  limit: 'Grenze',
  scope: 'Was dies ist und was nicht',
  thresholds: 'Schwellenwerte',
  session: 'Der Tag',
  gate: 'Kritisches Versagen',
  comparison: 'Vergleiche',
  removal: 'Abnehmen der Ausrüstung',
  remote: 'Urteilen aus der Ferne',
  skills: 'Nötige Fertigkeiten',
  incident: 'Vorfälle',
  consent: 'Einwilligung',
  divergenceRule: 'Regel für strittige Urteile',
  rest: 'Erholung zwischen Versuchen',
  evidence: 'Versuche, die gegen ein Urteil sprechen',
  evidenceBetter: 'Kriterium der Versuche erfüllt, Urteil weniger als so weit vom besten Punkt',
  endorsement: 'Befürwortungen',
  endorsementWeight: 'Gewicht, in der Einheit der Abschnittsgewichte',
  content: 'Skalenpunkt für „einverstanden“',
  notContent: 'Skalenpunkt für „nicht einverstanden“',
  evidenceWorst: 'Jeder Versuch geschafft, Urteil höchstens so weit vom schlechtesten Punkt',
};

/** Words of the protocols' screens. */
export const protocolWords: English = {
  list: listWords,
  version: versionWords,
  changes: changeWords,
  editor: editorWords,
  faults: faultWords,
  parts: partWords,
  edit: listEditWords,
  fields: fieldWords,
  choices: choiceWords,
  anchor: (point, word) => (word === '' ? point : `${point} ${word}`),
  rules: {
    rest: 'Pause zwischen Versuchen, die ermüden',
    divergence: 'Wann Urteile strittig sind',
    gate: 'Wann Versuche ein kritisches Versagen vorschlagen',
    endorsement: 'Ob man einverstanden wäre, dass es getragen wird',
    endorsementHint:
      'Mit einem Gewicht gehen die Äußerungen wie ein weiterer Abschnitt in den Gesamtwert ein. Wer nichts sagt, zählt für keines; wer eine Bindung offengelegt hat, zählt nicht mit. Der Bericht nennt immer auch den Gesamtwert ohne sie.',
    rounds: 'Runden und Versuche',
    caution:
      'Konstanten entscheiden, worüber ein Gremium spricht und was ein Ergebnis blockieren kann. Ändern Sie sie nur aus einem Grund, und nennen Sie ihn in der Notiz.',
  },
  cautionsLead:
    'Sie stehen dort, wo man sie während der Arbeit liest. Örtliche Vorgaben, ärztliche Leitung und zugelassene Berufsausübung gehen vor; ein Hinweis darf nichts anderes sagen.',
};
