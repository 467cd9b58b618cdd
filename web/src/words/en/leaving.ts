import { plural } from './plural.ts';

/** What is said before a device forgets everything. */
export const leavingWords = {
  unsent: (things: number) =>
    `${plural(things, 'thing', 'things')} on this device did not reach the server yet: ratings, trials, photos or drafts. ` +
    'Signing out deletes them. Sign out all the same?',
  noAnswer:
    'The server does not answer, so you are still signed in on this device. Nothing was deleted. ' +
    'Sign out when the link is back, or keep the device with you.',
};
