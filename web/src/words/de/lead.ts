import type { leadWords as english } from '../en/lead.ts';
import type { SameWords } from '../same-words.ts';

/** The words of the lead's way in and of the passphrase. */
export const leadWords: SameWords<typeof english> = {
  signIn: {
    text: 'Dieser Link meldet einmal an, auf diesem Gerät.',
    go: 'Anmelden',
    passphrase: 'Passphrase',
    organisation: 'Organisation',
    organisationHint: 'Nur ausfüllen, wenn dieser Server mehrere Organisationen hat.',
    show: 'Anzeigen, was ich eingebe',
    other:
      'Noch keine Passphrase? Wer den Server betreibt, erstellt einen einmaligen Link: Starten Sie ihn mit --new-sign-in-link.',
  },
  passphrase: {
    title: 'Ihre Passphrase',
    none: 'Sie sind über einen Link gekommen, der einmal gilt. Mit einer Passphrase können Sie sich von überall wieder anmelden.',
    known:
      'Eine Passphrase ist gesetzt. Eine neue tritt an ihre Stelle und meldet Sie auf allen anderen Geräten ab.',
    label: 'Neue Passphrase',
    hint: 'Mindestens 12 Zeichen. Vier oder fünf Wörter, die nicht zusammengehören, merkt man sich leicht.',
    set: 'Passphrase setzen',
    done: 'Die Passphrase ist gesetzt.',
  },
};
