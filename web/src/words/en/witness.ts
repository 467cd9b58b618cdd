import type { WitnessFault } from '@unhindered/shared-types';

/** Words for the moment when a device does not believe the server's record. */
export const witnessWords = {
  title: 'This record does not go on from what this device has seen',
  what: {
    rewind:
      'The server now knows less of this evaluation than it did when this device last looked. An older copy may have been put back, or entries were removed.',
    fork: 'The server now tells another history of this evaluation than the one this device has seen and checked.',
    signature:
      'The record of this evaluation is no longer signed with the key that this device met first, or its signature does not hold.',
  } satisfies Record<WitnessFault, string>,
  doTitle: 'What to do',
  steps: [
    'Stop rating and settling in this evaluation.',
    'Tell the moderator and whoever runs the server. If a backup was restored on purpose, they can say so.',
    'Keep this device as it is. Save the evidence below: it holds both signed statements of the server, and “unhindered verify --seen” can check a record against the first.',
  ],
  save: 'Save the evidence',
  go: 'Show the page all the same',
  file: (evaluation: string) => `unhindered-evidence-${evaluation}.txt`,
  kept: 'Seen and checked by this device:',
  got: 'Told by the server now:',
};
