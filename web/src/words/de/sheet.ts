import type { sheetWords as english } from '../en/sheet.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Several people in one phrase. */
const several = (who: string): boolean => who.includes(' und ');

/** Words of the sheet, and of what everybody sees after the opening. */
export const sheetWords: SameWords<typeof english> = {
  fromPaper: 'Von Papier übernommen: hier nicht versiegelt',
  save: {
    nothing: 'Noch kein Urteil',
    kept: (tasks) =>
      `Auf diesem Gerät gesichert, wartet auf den Server${tasks > 0 ? `: ${plural(tasks, 'Aufgabe', 'Aufgaben')}` : ''}`,
    saving: 'Wird gesendet …',
    saved: (time) => `Gespeichert ${time}`,
    frozen: 'Die Runde ist geöffnet; dieser Bogen ist geschlossen',
    refused: 'Der Server hat den letzten Eintrag nicht angenommen; er steht unten',
    gone: 'Dieser Bogen ist für Sie nicht mehr zugänglich',
  },
  sheet: {
    waiting: 'Warten auf den Beginn der Runde durch die Moderation.',
    task: (n, of) => `Aufgabe ${String(n)} von ${String(of)}`,
    sealedNote: 'Versiegelt: Niemand sieht Ihre Urteile, bevor die Moderation die Runde öffnet.',
    does: 'Was getan wird',
    basis: {
      relative: 'Im Vergleich zum selben Menschen ohne die Ausrüstung',
      absolute: 'Für sich beurteilt: Es gibt nichts zum Vergleichen',
    },
    state: (title) => `Ausrüstung: ${title}`,
    rungs: 'Wie weit erschwert die Ausrüstung diese Aufgabe?',
    datum: 'Ohne die Ausrüstung',
    offScale: 'Oder, außerhalb der Skala',
    notApplicable: 'Trifft auf dieses Stück nicht zu',
    notObserved: 'Nicht beobachtet',
    abstained: 'Ich enthalte mich (offengelegte Bindung)',
    why: 'Warum es nicht zutrifft',
    whyHint: 'Nötig, damit es zählt',
    clear: 'Dieses Urteil zurücknehmen',
    critical: 'Kritisches Versagen vorschlagen',
    criticalTitle: 'Kritisches Versagen vorschlagen?',
    criticalLead: 'Nur wenn erfüllt war:',
    criticalReason: 'Was Sie gesehen haben',
    criticalGo: 'Vorschlagen',
    criticalDeclared: 'Kritisches Versagen vorgeschlagen',
    criticalWithdraw: 'Vorschlag zurücknehmen',
    note: 'Notiz (das Gremium sieht sie nach der Öffnung der Runde)',
    previous: 'Vorige',
    next: 'Nächste',
    strip: 'Aufgaben',
    stripCount: (n, of) => `Alle Aufgaben: ${String(n)} von ${String(of)} beantwortet`,
    filter: 'Nur Aufgaben ohne Antwort',
    rated: 'beantwortet',
    unrated: 'nicht beantwortet',
    isSettled: 'geklärt',
    unsettled: 'noch nicht geklärt',
    finish: 'Ich bin fertig',
    finishOpen: (n) => `Ich bin fertig, ${plural(n, 'Aufgabe', 'Aufgaben')} ohne Antwort`,
    resume: 'Weiter beurteilen',
    finished: 'Sie sind fertig. Bis zur Öffnung der Runde können Sie weitermachen.',
    allIn: 'Alle sind fertig.',
    notYet: 'Andere beurteilen noch.',
    earlier: (text) => `Ihr Urteil in der Runde davor: ${text}`,
    opened: 'Die Runde ist geöffnet. Das hat das Gremium gesagt.',
    catchingUp:
      'Sie sind nach der Öffnung dazugekommen. Urteilen Sie zuerst; sobald Sie fertig sind, sehen Sie die Urteile des Gremiums.',
    correct: 'Versehen berichtigen',
    lateFound: (n) =>
      `${plural(n, 'Urteil', 'Urteile')} von diesem Gerät kam erst nach der Öffnung beim Server an. Die Moderation sieht es mit seinen Zeiten.`,
    lateOwn: (text) => `Ihr Urteil kam verspätet: ${text}.`,
    lateOpen: 'Die Moderation entscheidet, ob es zählt.',
    lateDecided: (admitted, reason) => `${admitted ? 'Zugelassen' : 'Weggelassen'}: ${reason}`,
    lateLocked: (n) =>
      `${plural(n, 'Urteil', 'Urteile')} von diesem Gerät kam erst nach dem Abschluss. Es bleibt hier; sichern Sie es für eine erneute Begutachtung.`,
    exportOwn: 'Meinen Bogen als Datei sichern',
    digest: 'Prüfsumme Ihres Bogens (aufbewahren: Sie belegt Ihre Urteile)',
    declareFirst: 'Legen Sie zuerst Ihre Interessen offen.',
    caution: 'Vorsicht',
  },
  shown: {
    median: 'Median',
    spread: 'Spannweite',
    none: 'kein gezähltes Urteil auf der Skala',
    steps: (n) => `${n} ${n === '1' ? 'Stufe' : 'Stufen'}`,
    counted: (n) => plural(n, 'gezähltes Urteil', 'gezählte Urteile'),
    notCounted: 'gezeigt, nicht gezählt (offengelegte Bindung)',
    notReRated: 'nicht neu beurteilt',
    changed: 'vor der Öffnung geändert',
    late: 'verspätet',
    corrected: (old, reason) => `berichtigt, vorher ${old}: ${reason}`,
    easier: 'leichter als ohne',
    answers: {
      step: '',
      'not-applicable': 'trifft nicht zu',
      'not-observed': 'nicht beobachtet',
      abstained: 'enthalten',
    },
    by: (who, time) => `${who}, ${time}`,
    table: 'Als Tabelle zeigen',
    reviewer: 'Platz',
    rating: 'Urteil',
    remark: 'Grund oder Notiz',
    settled: {
      adopt: (v) => `Geklärt beim Median, ${v}`,
      decide: (v) => `Von der Moderation festgelegt: ${v}`,
      'leave-open': (v) => `Offen gelassen beim Median, ${v}; Widerspruch ist festgehalten`,
    },
    flags: {
      'split-panel': (_who, size) =>
        `Das Gremium ist geteilt: Urteile liegen bis zu ${size} Stufen auseinander.`,
      'lone-voice': (who, size) =>
        `${who} ${several(who) ? 'stehen' : 'steht'} ${size} Stufen vom Median der anderen entfernt.`,
      'critical-failure-dispute': (who) =>
        `${who} ${several(who) ? 'schlagen' : 'schlägt'} ein kritisches Versagen vor; andere nicht.`,
      'applicability-dispute': (who) => `Uneinig, ob die Aufgabe zutrifft: ${who}.`,
      'evidence-against-rating': (who) => `Die Versuche sprechen gegen das Urteil von ${who}.`,
    },
    camps: (size) =>
      `Das Gremium zerfällt in Lager, bis zu ${size} Stufen vom Median der anderen entfernt.`,
    twoOnly: (size) => `Die beiden Urteile liegen ${size} Stufen auseinander.`,
  },
};
