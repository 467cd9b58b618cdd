import type { Role, Stage } from '@unhindered/shared-types';

/** Words of the shell and of the way in: everything the first screen needs, and no more. */
export const shellWords = {
  app: 'Unhindered',
  cancel: 'Go back',
  copy: 'Copy',
  copied: 'Copied',
  signOut: 'Sign out',
  loading: 'One moment …',
  connecting: 'Connecting to the server …',
  noLink: 'No link to the server. It comes back by itself.',
  notFound: 'There is nothing at this address.',
  barred: 'This is not open to you.',
  ended: {
    moved:
      'Another device took this one’s place. What is not saved yet stays here: export it from your sheet.',
    revoked: 'The moderator ended your seat on this device.',
    expired: 'Your session ran out. Join again.',
    'signed-out': 'You signed out on this device.',
  } as Record<string, string>,
  notEncrypted: 'Not encrypted: on this network others could read along.',
  settings: 'Settings',
  offline: 'No link to the server. Check the network and try again.',
  roles: {
    moderator: 'Moderator',
    reviewer: 'Reviewer',
    observer: 'Observer',
    wall: 'Wall display',
    recorder: 'Recorder',
    operator: 'Operator',
  } satisfies Record<Role, string>,
  stages: {
    preparing: 'Not started',
    sealed: 'Sealed: ratings are hidden until opened',
    opened: 'Opened',
    locked: 'Locked',
    withdrawn: 'Withdrawn',
  } satisfies Record<Stage, string>,
  round: (n: number) => `Round ${String(n)}`,
  reviewerName: (letter: string | null) => (letter === null ? 'a reviewer' : `reviewer ${letter}`),
  signInLead: 'Sign in as the lead',
  arrive: {
    title: 'Take your seat',
    code: 'Code from the moderator',
    codeHint: 'Eight letters and digits, as on the moderator’s screen',
    look: 'Continue',
    seat: (role: string, letter: string | null) =>
      letter === null ? role : `${role}, seat ${letter}`,
    taken: (name: string) => `This seat belongs to ${name}. This adds one more device to it.`,
    name: 'Your name, as the panel knows you',
    stopped:
      'Everyone of this panel has stopped. If you are in the room: stop safely, and keep holding what you hold.',
    waits: 'The moderator then lets you in.',
    take: 'Take this seat',
    add: 'Add this device',
    another: 'Use another code',
  },
};
