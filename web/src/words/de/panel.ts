import type { panelWords as english } from '../en/panel.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of declarations, panels and invitations. */
export const panelWords: SameWords<typeof english> = {
  declare: {
    title: 'Legen Sie Ihre Interessen offen',
    lead: 'Nennen Sie vor dem ersten Urteil Ihre Bindungen der letzten 36 Monate: Anstellung, Beteiligung, Lizenzgebühren, Patente, Beratung, kostenlose Ausrüstung, Sponsoring, Familie.',
    effect:
      'Eine Bindung zum Hersteller oder zu einem Mitbewerber nimmt Ihre Urteile aus dem Konsens; eine Bindung zu einem Werkzeug nimmt sie aus den Aufgaben, die es verwenden. Sie dürfen trotzdem urteilen, und Ihre Urteile werden gezeigt.',
    none: 'Ich habe keine solchen Bindungen',
    some: 'Ich habe Bindungen',
    add: 'Bindung hinzufügen',
    remove: 'Entfernen',
    kinds: {
      maker: 'Zum Hersteller eines begutachteten Stücks',
      rival: 'Zu einem Mitbewerber',
      tool: 'Zu einem Werkzeug des Protokolls (Herstellung oder Verkauf)',
      task: 'Ich habe eine Aufgabe des Protokolls entworfen',
    },
    which: 'Welche',
    detail: 'Worin die Bindung besteht',
    familiarity: 'Wie gut kennen Sie Ausrüstung dieser Art?',
    levels: {
      none: 'Gar nicht',
      seen: 'Gesehen',
      handled: 'In der Hand gehabt',
      daily: 'Arbeite täglich damit',
    },
    send: 'Offenlegen',
    done: 'Offengelegt',
  },
  home: {
    title: 'Gremien',
    empty:
      'Noch kein Gremium. Ein Gremium umfasst die Personen und Begutachtungen eines Tages oder einer Saison.',
    make: 'Gremium anlegen',
    name: 'Titel des Gremiums',
    occasion: 'Tag oder Saison',
    moderator: 'Ihr Name, als Moderation',
    count: (n) => plural(n, 'Begutachtung', 'Begutachtungen'),
  },
  panel: {
    learning: 'Meine Urteile im Lauf der Zeit',
    learningOf: 'Urteile im Lauf der Zeit',
    practise: 'An einer abgeschlossenen Begutachtung üben',
    protocolPage: 'Wie sich das Protokoll bewährt',
    paper: 'auf Papier geurteilt, hier sitzt niemand',
    plan: 'Den Tag planen',
    seats: 'Plätze',
    invite: 'Einladen',
    role: 'Rolle',
    label: 'Notiz für Sie selbst (bleibt festgehalten: keine Namen)',
    byCode: 'Mit einem Code, im Raum, für zehn Minuten',
    byLink: 'Mit einem Link, aus der Ferne, bis zu einem Datum',
    until: 'Link gilt bis',
    makeCode: 'Einladung erstellen',
    invited: 'Einladung',
    scan: 'Mit der Kamera des Telefons einlesen oder den Code unter der Adresse unten eingeben.',
    typeThere: (address) =>
      `Öffnen Sie auf dem anderen Gerät ${address} und geben Sie diesen Code ein:`,
    expires: (time) => `Gilt bis ${time}.`,
    open: 'Wer ihn eingibt, wird sofort eingelassen',
    openHint:
      'Sonst sehen Sie hier, wer den Code eingegeben hat, und lassen die Person ein oder weisen sie ab.',
    arrivals: {
      title: 'An der Tür',
      lead: 'Sie haben einen Code eingegeben und sehen noch nichts. Lassen Sie ein, von wem Sie wissen, dass er da ist.',
      asks: {
        seat: 'nimmt einen Platz ein',
        device: 'fügt ein Gerät hinzu',
        move: 'wechselt auf dieses Gerät: die anderen werden abgemeldet',
      },
      since: (time) => `seit ${time}`,
      admit: 'Einlassen',
      refuse: 'Abweisen',
    },
    guessing: {
      title: 'Es wurden falsche Codes versucht',
      everybody: (time) =>
        `Es wurden so viele falsche Codes eingegeben, dass dieser Server bis ${time} keine eingegebenen Codes annimmt.`,
      source: (n, time) =>
        `Zu viele falsche Codes von ${plural(n, 'Netzadresse', 'Netzadressen')}; die letzte ist bis ${time} ausgesperrt.`,
      past: (n, time) =>
        `Zu viele falsche Codes von ${n > 0 ? plural(n, 'Netzadresse', 'Netzadressen') : 'vielen Netzadressen zusammen'}, zuletzt um ${time}. Codes werden wieder angenommen.`,
      means:
        'Vielleicht liest jemand einen Code falsch ab, vielleicht rät jemand. Links und eingelesene Codes gelten weiter, und wer da ist, bleibt da.',
      reopen: 'Eingegebene Codes jetzt wieder annehmen',
    },
    server: {
      title: (n) =>
        `Was mit dem Server geschah: ${plural(n, 'Hinweis', 'Hinweise')} des letzten Tages`,
      'ended-uncleanly':
        'Der Server begann neu, nachdem er geendet hatte, ohne angehalten zu werden. Was als gespeichert gezeigt wurde, ist da.',
      restored:
        'An die Stelle des Speichers trat eine Sicherung. Was nach der Sicherung kam, ist hier verloren; Geräte, die mehr gesehen haben, sagen es.',
      clock: (ms, running) => {
        const hours = Math.abs(ms) / 3_600_000;
        const span =
          hours < 2
            ? plural(Math.max(1, Math.round(hours * 60)), 'Minute', 'Minuten')
            : plural(Math.round(hours), 'Stunde', 'Stunden');
        const way = ms < 0 ? 'zurück' : 'vor';
        return running
          ? `Die Uhr des Rechners wurde um ${span} ${way}gestellt, oder der Rechner schlief. Niemand wird dadurch abgemeldet. Codes und Links können früher oder später enden, als sie sagen: Erstellen Sie neue.`
          : `Die Uhr des Rechners war vor dem Start um ${span} ${way}gestellt worden. Festgehaltene Zeiten in diesem Zeitraum sind unsicher; ihre Reihenfolge ist es nicht.`;
      },
      means:
        'Dies steht im Bericht jeder Begutachtung, die gerade lief, und in ihrer signierten Datei.',
    },
    state: {
      offered: 'noch nicht eingenommen',
      waiting: 'jemand wartet auf Einlass',
      taken: 'besetzt',
      revoked: 'beendet',
    },
    online: 'jetzt da',
    offline: 'nicht verbunden',
    declared: 'offengelegt',
    undeclared: 'noch keine Offenlegung',
    newCode: 'Neuer Code',
    again: 'Code für ein weiteres Gerät',
    move: 'Auf ein anderes Gerät wechseln',
    moveHint:
      'Warten Sie, bis Ihr Bogen „gespeichert“ zeigt: Dieses Gerät wird abgemeldet, sobald das andere den Code verwendet.',
    ended: 'Beendete Plätze',
    erase: 'Namen löschen',
    eraseTitle: (who) => `Den Namen „${who}“ löschen?`,
    eraseLead:
      'Der Name wird hier und in jedem Bericht von jetzt an vergessen; der Bericht behält den Buchstaben und bleibt prüfbar. Frühere Sicherungen und Berichte enthalten ihn noch. Das lässt sich nicht rückgängig machen.',
    erased: 'Name gelöscht',
    revoke: 'Diesen Platz beenden',
    revokeReason: 'Warum dieser Platz endet',
    evaluations: 'Begutachtungen',
    noEvaluation:
      'Noch keine Begutachtung. Legen Sie eine an, wenn das Prüfstück auf dem Tisch ist.',
    noneToSee:
      'Noch keine Begutachtung. Die Moderation legt eine an, wenn das Prüfstück auf dem Tisch ist.',
    create: 'Begutachtung anlegen',
    protocol: 'Protokoll',
    specimen: 'Prüfstück',
    fields: {
      kind: 'Art',
      sport: 'Sportart',
      maker: 'Hersteller',
      model: 'Modell',
      year: 'Modelljahr',
      size: 'Größe',
      serial: 'Seriennummer',
      condition: 'Zustand und Alter',
      fastening: 'Befestigungsteile',
      suppliedBy: 'Bereitgestellt von',
    },
    kinds: {
      helmet: 'Helm',
      pads: 'Schulterpolster',
      torso: 'Rumpfschutz',
      combined: 'Kombination',
      other: 'Anderes',
    },
    desk: 'Pult',
    sheet: 'Mein Bogen',
    wall: 'Wand',
    record: 'Bericht',
    publish: 'Veröffentlichen oder berichtigen',
    watch: 'Mitverfolgen',
    trials: 'Versuche',
    fit: 'Passformprüfung',
    addDevice: 'Eigenes Gerät hinzufügen',
  },
};
