import type { safetyWords as english } from '../en/safety.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the safety of the day. */
export const safetyWords: SameWords<typeof english> = {
  safety: {
    title: 'Sicherheit des Tages',
    stop: {
      press: 'Stopp für alle',
      askTitle: 'Alle anhalten?',
      askLead:
        'Rufen Sie auch laut „Stopp“. Jedes Gerät des Gremiums zeigt es sofort, und laufende Stoppuhren halten an.',
      now: 'Jetzt alle anhalten',
      saying: 'Alle anhalten, mit diesen Worten',
      not: 'Nicht anhalten',
      reasons: [
        'Schmerz oder Unwohlsein',
        'Vielleicht ist jemand verletzt',
        'Etwas ist gebrochen oder hat sich gelöst',
        'So wie aufgebaut nicht sicher',
      ],
      reasonsTitle: 'Oder anhalten und sagen, warum',
      typed: 'Warum, in Ihren Worten (darf leer bleiben)',
      alone:
        'Keine Verbindung zum Server: Rufen Sie laut „Stopp“. Die Uhren dieses Geräts halten sofort an.',
      notSent:
        'Es hat die anderen nicht erreicht. Rufen Sie laut „Stopp“ und drücken Sie noch einmal.',
      title: 'Stopp für alle',
      by: (name, role) => `Ausgelöst von ${name}, ${role}`,
      at: (time) => `um ${time}`,
      noReason: 'Kein Grund angegeben.',
      also: (name, reason) => `${name}: ${reason}`,
      hold: 'Halten Sie sicher an: Wer den Kopf hält, hält ihn weiter, bis jemand übernimmt.',
      hurt: 'Wenn jemand verletzt ist: Lassen Sie dieses Werkzeug liegen. Folgen Sie Ihrem Notfallplan, den örtlichen Vorgaben und der ärztlichen Leitung.',
      clocks:
        'Laufende Stoppuhren wurden angehalten und ihre Zeiten gesichert. Kein Versuch beginnt und keine Runde wird geöffnet, bis die Moderation den Tag wieder freigibt.',
      small: 'Gesehen: klein anzeigen',
      show: 'Anzeigen',
      since: (time) => `Seit ${time} stehen alle still.`,
      resumeTitle: 'Den Tag wieder freigeben',
      resumeLabel: 'Was daraufhin getan wurde',
      resume: 'Tag freigeben',
      over: (name, time) => `Der Tag geht weiter: ${name}, ${time}.`,
      gotIt: 'Gesehen',
    },
    hold: {
      stopped:
        'Alle stehen still: Kein Versuch beginnt, bis die Moderation den Tag wieder freigibt.',
      briefing: 'Lesen Sie zuerst die Einweisung; dann lässt sich die Stoppuhr starten.',
      left: 'Diese Modellperson ist ausgeschieden. Mit ihr wird kein weiterer Versuch gemacht; wählen Sie eine andere oder eine Übungspuppe.',
      'no-consent':
        'Von dieser Modellperson ist keine Einwilligung festgehalten. Halten Sie sie unter „Sicherheit des Tages“ fest oder wählen Sie eine andere.',
    },
    halted: {
      title: 'Der Stopp für alle hat diesen Lauf beendet',
      lead: 'Seine Zeit ist gesichert, und nichts davon zählt von selbst. Verwerfen Sie ihn, oder sagen Sie, wie er ausging, falls er da schon zu Ende war.',
      void: 'Diesen Lauf verwerfen',
      enter: 'Trotzdem eintragen',
      reason: (why) => `Durch den Stopp für alle abgebrochen: ${why}`,
      noReason: 'kein Grund angegeben',
      note: 'Der Lauf wurde durch den Stopp für alle angehalten.',
    },
    rest: (operator, left) =>
      `${operator} hat eben erst einen ermüdenden Versuch gemacht: Von der Pause sind noch ${left} übrig. Gerechnet ab dem Eintrag; nichts wird dadurch gesperrt.`,
    brief: {
      title: 'Einweisung',
      lead: 'Alle, die an Versuchen teilnehmen, lesen dies vor dem ersten.',
      acknowledge: 'Ich habe dies gelesen und handle danach',
      done: (time) => `Von Ihnen bestätigt um ${time}.`,
      other: 'Der Text auf diesem Gerät ist nicht der des Gremiums. Laden Sie die Seite neu.',
      owed: (n) => `Noch nicht bestätigt von ${plural(n, 'Platz', 'Plätzen')}:`,
      all: 'Alle, die an Versuchen teilnehmen, haben sie bestätigt.',
      unbriefed: 'eingetragen, bevor die eintragende Person die Einweisung bestätigt hatte',
      late: 'Sie haben die Einweisung nicht bestätigt: Was Sie jetzt eintragen, wird gesichert und gekennzeichnet.',
      local:
        'Sie ersetzt weder die örtlichen Vorgaben noch die ärztliche Leitung noch die zugelassene Berufsausübung.',
    },
    models: {
      title: 'Modellpersonen',
      lead: 'Die lebenden Menschen, die das Stück tragen. Ein Code und nie ein Name; das unterschriebene Formular liegt dort, wo Sie solche Formulare aufbewahren.',
      none: 'Noch ist keine Einwilligung festgehalten.',
      code: 'Code der Modellperson',
      codeHint: 'Mit einer Ziffer, etwa M3.',
      codeFault: 'Verwenden Sie einen Code mit einer Ziffer, etwa M3, und keinen Namen.',
      written:
        'Ich habe die schriftliche Einwilligung gesehen; bei Minderjährigen auch die der Sorgeberechtigten.',
      record: 'Einwilligung festhalten',
      recorded: (name, time) => `Einwilligung gesehen von ${name}, ${time}`,
      leave: 'Ist ausgeschieden',
      leaveTitle: (model) => `Scheidet ${model} aus?`,
      leaveLead:
        'Die Modellperson darf jederzeit ausscheiden, und nach einem Grund wird nicht gefragt. Von da an beginnt kein Versuch mehr mit ihr. Es wird nicht zurückgenommen: Wer erneut einwilligt, erhält einen neuen Code.',
      leaveGo: 'Ausscheiden festhalten',
      left: (name, time) => `ausgeschieden ${time}, gemeldet von ${name}`,
      undecided: (n) =>
        `${plural(n, 'früherer Versuch', 'frühere Versuche')} mit dieser Modellperson: Sie zählen und sind gekennzeichnet, bis die Moderation anders entscheidet.`,
      counts: (reason) => `Frühere Versuche zählen, nach Entscheidung der Moderation: ${reason}`,
      out: (reason) => `Frühere Versuche wurden aus den Nachweisen genommen: ${reason}`,
      takeOut: 'Ihre Versuche herausnehmen',
      letCount: 'Ihre Versuche zählen lassen',
      decideReason: 'Warum; was die Modellperson wünschte, falls sie es gesagt hat',
      mark: 'die Modellperson schied später aus',
      markOut: 'herausgenommen: Die Modellperson ist ausgeschieden',
      choose: 'Modellperson (wer es trägt)',
      nobody: 'Niemand: eine Übungspuppe, oder nicht genannt',
      gone: (model) => `${model} (ausgeschieden)`,
    },
    incidents: {
      title: 'Notizen zu Vorfällen',
      lead: 'Was schiefging oder beinahe schiefging. Eine Notiz wird nie geändert; eine weitere Notiz kann sie ergänzen.',
      none: 'Kein Vorfall wurde notiert.',
      hidden: 'Nach diesem Protokoll werden Ihnen die Notizen nach der ersten Öffnung gezeigt.',
      what: 'Was geschehen ist',
      whatHint:
        'Kein Name, und über die Gesundheit von Personen nicht mehr als nötig: keine Diagnose, keine Befunde. Codes wie K1 und M3 genügen. Dies bleibt festgehalten und steht im Bericht.',
      when: 'Wann',
      faults: {
        what: 'Sagen Sie, was geschehen ist.',
        when: 'Wählen Sie Tag und Uhrzeit, die nicht in der Zukunft liegen.',
        done: 'Sagen Sie, was getan wurde.',
        direction: 'Sagen Sie, ob die ärztliche Leitung informiert wurde.',
      },
      about: 'Bei welcher Aufgabe oder welchem Versuch',
      noTask: 'Bei keiner davon',
      trialOf: (task, operator, time) => `${task}: Versuch von ${operator}, ${time}`,
      done: 'Was getan wurde',
      direction: 'Wurde die ärztliche Leitung informiert?',
      directions: {
        informed: 'Ja, informiert',
        'not-informed': 'Nein, nicht informiert',
      },
      told: {
        informed: 'Ärztliche Leitung informiert.',
        'not-informed': 'Ärztliche Leitung nicht informiert.',
      },
      note: 'Notiz sichern',
      kept: 'Die Notiz ist festgehalten.',
      by: (name, time) => `notiert von ${name}, ${time}`,
    },
    stops: {
      title: 'Stopps',
      none: 'Niemand hat den Tag angehalten.',
      one: (time, name) => `${time}, von ${name}`,
      resumed: (time, name, what) => `Weiter ging es um ${time} (${name}): ${what}`,
      standing: 'Noch nicht wieder freigegeben.',
    },
    over: 'Diese Begutachtung ist abgeschlossen: Was jetzt geschieht, gehört nicht mehr zu dem, was darin festgehalten ist.',
    back: 'Zurück',
  },
};
