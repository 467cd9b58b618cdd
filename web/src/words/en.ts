import type { Role, Stage } from '@unhindered/shared-types';
import { deskWords } from './en/desk.ts';
import { panelWords } from './en/panel.ts';
import { sheetWords } from './en/sheet.ts';

/** Every word on the screens, in English. Sentences of tasks, anchors and cautions come from the protocol. */
export const en = {
  app: 'Unhindered',
  tagline: 'Review panels on protective equipment and emergency care',
  back: 'Back',
  cancel: 'Go back',
  close: 'Close',
  copy: 'Copy',
  copied: 'Copied',
  signOut: 'Sign out',
  loading: 'One moment …',
  connecting: 'Connecting to the server …',
  noLink: 'No link to the server. It comes back by itself.',
  notFound: 'There is nothing at this address.',
  barred: 'This is not open to you.',
  ended: {
    revoked: 'The moderator ended your seat on this device.',
    expired: 'Your session ran out. Join again.',
    'signed-out': 'You signed out on this device.',
  } as Record<string, string>,
  notEncrypted: 'Not encrypted: on this network others could read along.',
  mode: { auto: 'Display: automatic', sun: 'Display: bright sun', night: 'Display: dark room' },
  roles: {
    moderator: 'Moderator',
    reviewer: 'Reviewer',
    observer: 'Observer',
    wall: 'Wall display',
    recorder: 'Recorder',
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
  ...panelWords,
  ...sheetWords,
  ...deskWords,
};

export type Words = typeof en;
