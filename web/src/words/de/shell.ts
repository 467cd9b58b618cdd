import type { shellWords as english } from '../en/shell.ts';
import type { SameWords } from '../same-words.ts';

/** Words of the shell and of the way in: everything the first screen needs, and no more. */
export const shellWords: SameWords<typeof english> = {
  app: 'Unhindered',
  settings: 'Einstellungen',
  offline: 'Keine Verbindung zum Server. Prüfen Sie das Netz und versuchen Sie es noch einmal.',
  cancel: 'Zurück',
  copy: 'Kopieren',
  copied: 'Kopiert',
  signOut: 'Abmelden',
  loading: 'Einen Moment …',
  connecting: 'Verbindung zum Server wird aufgebaut …',
  noLink: 'Keine Verbindung zum Server. Sie kommt von selbst wieder.',
  notFound: 'Unter dieser Adresse gibt es nichts.',
  barred: 'Dies ist für Sie nicht zugänglich.',
  ended: {
    moved:
      'Ein anderes Gerät ist an die Stelle dieses Geräts getreten. Was noch nicht gespeichert ist, bleibt hier: Sichern Sie es über Ihren Bogen als Datei.',
    revoked: 'Die Moderation hat Ihren Platz auf diesem Gerät beendet.',
    expired: 'Ihre Sitzung ist abgelaufen. Nehmen Sie Ihren Platz neu ein.',
    'signed-out': 'Sie haben sich auf diesem Gerät abgemeldet.',
  },
  notEncrypted: 'Nicht verschlüsselt: In diesem Netz könnten andere mitlesen.',
  roles: {
    moderator: 'Moderation',
    reviewer: 'Gutachter/in',
    observer: 'Beobachtung',
    wall: 'Wandanzeige',
    recorder: 'Aufzeichnung',
    operator: 'Durchführung',
  },
  stages: {
    preparing: 'Noch nicht begonnen',
    sealed: 'Versiegelt: Urteile sind bis zur Öffnung verdeckt',
    opened: 'Geöffnet',
    locked: 'Abgeschlossen',
    withdrawn: 'Zurückgezogen',
  },
  round: (n) => `Runde ${String(n)}`,
  reviewerName: (letter) => (letter === null ? 'jemand' : `Platz ${letter}`),
  signInLead: 'Als Leitung anmelden',
  arrive: {
    title: 'Nehmen Sie Ihren Platz ein',
    code: 'Code von der Moderation',
    codeHint: 'Acht Buchstaben und Ziffern, wie auf dem Bildschirm der Moderation',
    look: 'Weiter',
    seat: (role, letter) => (letter === null ? role : `${role}, Platz ${letter}`),
    taken: (name) => `Dieser Platz gehört ${name}. Sie fügen ihm ein weiteres Gerät hinzu.`,
    name: 'Ihr Name, wie das Gremium Sie kennt',
    stopped:
      'In diesem Gremium stehen alle still. Wenn Sie im Raum sind: Halten Sie sicher an, und halten Sie weiter, was Sie halten.',
    waits: 'Danach lässt die Moderation Sie ein.',
    take: 'Diesen Platz einnehmen',
    add: 'Dieses Gerät hinzufügen',
    another: 'Anderen Code verwenden',
  },
};
