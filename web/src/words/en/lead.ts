/** The words of the lead's way in and of the passphrase. */
export const leadWords = {
  signIn: {
    text: 'This link signs in once, on this device.',
    go: 'Sign in',
    passphrase: 'Passphrase',
    organisation: 'Organisation',
    organisationHint: 'Leave it empty unless this server has several.',
    show: 'Show what I type',
    other:
      'No passphrase yet? Whoever runs the server makes a one-time link: start it with --new-sign-in-link.',
  },
  passphrase: {
    title: 'Your passphrase',
    none: 'You came by a link that works once. Set a passphrase, and you can sign in again from anywhere.',
    known:
      'A passphrase is set. A new one takes its place and signs you out on every other device.',
    label: 'New passphrase',
    hint: 'At least 12 characters. Four or five words that do not belong together are easy to keep.',
    set: 'Set the passphrase',
    done: 'The passphrase is set.',
  },
};
