import type { FitStanding } from '@unhindered/shared-types';
import type { specimenWords as english } from '../en/specimens.ts';
import type { SameWords } from '../same-words.ts';
import { fitSentences } from './fit.ts';
import { plural } from './plural.ts';

/** Words of the register of specimens and of the fit check. */
export const specimenWords: SameWords<typeof english> = {
  specimens: {
    title: 'Prüfstücke',
    lead: 'Jedes Stück, das auf dem Prüftisch war oder sein wird. Was berichtigt wird, behält seine alte Beschreibung; nichts wird herausgenommen.',
    search: 'Hersteller, Modell, Seriennummer, Befestigung suchen',
    retired: 'Auch ausgemusterte zeigen',
    found: (n) => plural(n, 'Prüfstück', 'Prüfstücke'),
    more: (n) => `${String(n)} weitere. Fügen Sie der Suche ein Wort hinzu.`,
    empty:
      'Noch kein Prüfstück. Erfassen Sie das erste: Was auf dem Etikett steht, genügt für den Anfang.',
    none: 'Kein Eintrag enthält alle diese Wörter.',
    looksOnly: 'Noch kein Prüfstück. Moderation und Aufzeichnung erfassen sie.',
    register: 'Prüfstück erfassen',
    save: 'Erfassen',
    loading: 'Das Verzeichnis wird gelesen …',
    retry: 'Noch einmal versuchen',
    evaluations: (n) => plural(n, 'Begutachtung', 'Begutachtungen'),
    isRetired: 'ausgemustert',
    choose: 'Prüfstück auf dem Tisch',
    fresh: 'Ein neues erfassen, unten',
    fields: {
      made: 'Tag der Herstellung',
      ageStated: 'Alter, falls nur angegeben',
      mass: 'Masse in Gramm',
      notes: 'Notizen',
    },
    hardware: 'Befestigungsteile',
    hardwareLead:
      'Eine Zeile für jede Art von Befestigung: Wer das Stück abnimmt, muss sie kennen.',
    hardwareKind: 'Art',
    material: 'Material',
    count: 'Wie viele',
    state: 'Zustand',
    addHardware: 'Befestigung hinzufügen',
    remove: (n) => `Befestigung ${String(n)} entfernen`,
    pieces: 'Stücke der Kombination',
    piecesNone: 'Erfassen Sie zuerst jedes Stück, dann die Kombination.',
    further: 'Alter, Masse, Befestigung, Notizen',
    faults: {
      needed: 'Sportart, Hersteller und Modell sind nötig.',
      mass: 'Masse: ganze Gramm von 1 bis 100000, oder nichts.',
      made: 'Tag der Herstellung: ein vollständiges Datum, oder nichts.',
      hardware: 'Befestigungsteile: Jede Zeile braucht eine Art und eine ganze Zahl von 1 bis 200.',
      pieces: 'Eine Kombination hat zwei Stücke oder mehr.',
    },
  },
  specimen: {
    notRecorded: 'nicht erfasst',
    age: (months) =>
      months < 24
        ? plural(months, 'Monat', 'Monate')
        : `${plural(Math.floor(months / 12), 'Jahr', 'Jahre')}, ${plural(months % 12, 'Monat', 'Monate')}`,
    ageTerm: 'Alter',
    made: (day, age) => `${age}, hergestellt ${day}`,
    grams: (g) => `${String(g)} g`,
    parts: 'Stücke',
    kits: 'Teil von',
    used: 'Begutachtungen',
    unused: 'Noch keine Begutachtung. Legen Sie eine auf der Seite eines Gremiums an.',
    toPanel: 'Zum Gremium',
    history: 'Verlauf',
    what: {
      registered: 'Erfasst',
      corrected: 'Berichtigt',
      retired: 'Ausgemustert',
      'photo-added': 'Foto hinzugefügt',
      'photo-captioned': 'Bildtext eines Fotos geändert',
      'photo-removed': 'Foto entfernt',
    },
    before: (what, old) => `${what} war: ${old}`,
    correct: 'Berichtigen',
    correctLead:
      'Die alte Beschreibung bleibt festgehalten, und laufende Begutachtungen erfahren davon.',
    why: 'Warum es berichtigt wird',
    save: 'Berichtigung speichern',
    retire: 'Ausmustern',
    retireReason: 'Warum es ausgemustert wird',
    retiredBecause: (reason) => `Ausgemustert: ${reason}`,
    fit: (standing, n) =>
      n === 0
        ? fitStandings[standing]
        : `${fitStandings[standing]} (${plural(n, 'Prüfung', 'Prüfungen')})`,
  },
  fit: {
    title: 'Passformprüfung',
    caution:
      'Zuerst gilt die Anleitung des Herstellers: Größe, Sitz und Verschluss wie dort beschrieben, und hören Sie auf, sobald die tragende Person darum bittet. Sie wird mit einem Kürzel bezeichnet, nie mit einem Namen.',
    standings: {
      'not-asked': 'Diese Begutachtung wurde angelegt, bevor nach Passformprüfungen gefragt wurde.',
      ...fitSentences,
      overridden:
        'Die erste Runde darf ohne bestandene Passformprüfung geöffnet werden, nach Entscheidung der Moderation.',
    },
    instructions: 'Titel der Anleitung des Herstellers',
    edition: 'Ausgabe oder Datum',
    steps: 'Schritte der Anleitung',
    step: (n) => `Schritt ${String(n)}`,
    result: (n) => `Ergebnis von Schritt ${String(n)}`,
    remark: (n) => `Bemerkung zu Schritt ${String(n)}`,
    results: { met: 'erfüllt', 'not-met': 'nicht erfüllt', 'not-applicable': 'trifft nicht zu' },
    addStep: 'Schritt hinzufügen',
    removeStep: (n) => `Schritt ${String(n)} entfernen`,
    checker: 'Wer geprüft hat',
    code: 'Kürzel der tragenden Person, etwa M1',
    size: 'Größe der tragenden Person',
    minutes: 'Dauer des Anpassens, Minuten',
    problems: 'Probleme mit der Passform',
    comfort: 'Was die tragende Person zum Tragegefühl sagt',
    usedTo: 'Ist die tragende Person ein anderes Stück gewohnt?',
    used: { yes: 'ja', no: 'nein', unknown: 'nicht bekannt' },
    bias: 'Welches, wie lange',
    biasLead:
      'Wer ein Stück gewohnt ist, empfindet ein anderes als fremd: Lesen Sie den Bericht mit diesem Wissen.',
    asPassed: 'Als bestanden festhalten',
    asFailed: 'Als nicht bestanden festhalten',
    passed: 'Bestanden',
    failed: 'Nicht bestanden',
    outcome: 'Ergebnis',
    record: 'Passformprüfung festhalten',
    correcting: 'Dies berichtigt die Prüfung unten; beide bleiben festgehalten.',
    why: 'Warum sie berichtigt wird',
    cancelCorrection: 'Nicht berichtigen',
    correct: 'Diese Prüfung berichtigen',
    corrected: 'durch eine spätere Prüfung berichtigt',
    past: 'Bisherige Prüfungen',
    none: 'Noch keine.',
    by: (who, at) => `${who}, ${at}`,
    took: (minutes) => `dauerte ${minutes} min`,
    overrideTitle: 'Entscheidungen, ohne weiterzugehen',
    back: 'Zurück',
    faults: {
      instructions: 'Nennen Sie die Anleitung des Herstellers.',
      steps: 'Jeder Schritt braucht seine Worte.',
      code: 'Das Kürzel hat Großbuchstaben und eine Ziffer, etwa M1; nie ein Name.',
      minutes: 'Dauer: Minuten von 0,1 bis 600, oder nichts.',
      unmet: 'Eine Prüfung mit einem nicht erfüllten Schritt ist nicht bestanden.',
      nothingMet: 'Bestanden ist eine Prüfung mit mindestens einem erfüllten Schritt.',
      why: 'Sagen Sie, warum die Prüfung berichtigt wird.',
    },
  },
};

const fitStandings: Record<FitStanding, string> = {
  'not-asked': 'keine Passformprüfung verlangt',
  missing: 'noch keine Passformprüfung',
  failed: 'Passformprüfung nicht bestanden',
  passed: 'Passformprüfung bestanden',
  overridden: 'geht ohne bestandene Passformprüfung weiter',
};
