import type { witnessWords as english } from '../en/witness.ts';
import type { SameWords } from '../same-words.ts';

/** Words for the moment when a device does not believe the server's record. */
export const witnessWords: SameWords<typeof english> = {
  title: 'Diese Aufzeichnung setzt nicht fort, was dieses Gerät gesehen hat',
  what: {
    rewind:
      'Der Server weiß jetzt weniger über diese Begutachtung als beim letzten Blick dieses Geräts. Vielleicht wurde eine ältere Kopie eingespielt, oder Einträge wurden entfernt.',
    fork: 'Der Server erzählt jetzt einen anderen Verlauf dieser Begutachtung als den, den dieses Gerät gesehen und geprüft hat.',
    signature:
      'Die Aufzeichnung dieser Begutachtung ist nicht mehr mit dem Schlüssel signiert, den dieses Gerät zuerst kennengelernt hat, oder ihre Signatur ist ungültig.',
  },
  doTitle: 'Was zu tun ist',
  steps: [
    'Geben Sie in dieser Begutachtung keine Urteile mehr ab und klären Sie nichts.',
    'Sagen Sie es der Moderation und denen, die den Server betreiben. Wurde mit Absicht eine Sicherung eingespielt, können sie das bestätigen.',
    'Lassen Sie dieses Gerät, wie es ist. Sichern Sie den Nachweis unten: Er enthält beide signierten Aussagen des Servers, und „unhindered verify --seen“ kann einen Bericht gegen die erste prüfen.',
  ],
  save: 'Nachweis sichern',
  go: 'Seite trotzdem zeigen',
  file: (evaluation) => `unhindered-nachweis-${evaluation}.txt`,
  kept: 'Von diesem Gerät gesehen und geprüft:',
  got: 'Jetzt vom Server genannt:',
};
