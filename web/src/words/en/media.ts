import { plural } from './plural.ts';

/** Words of photos and clips. */
export const mediaWords = {
  media: {
    title: 'Photos and clips',
    lead: 'What the bench looked like, for those who were not there. Nobody outside the panel sees it.',
    faces:
      'No faces. Before you send a photo or clip, look whether a face can be seen in it, and take it again if so.',
    noFaces: 'I looked: no face can be seen in it',
    noFacesNeeded: 'Look at it, then tick that no face can be seen.',
    choose: 'Photo or clip',
    shoot: 'Take a photo',
    film: 'Film a clip',
    file: 'Choose a file',
    limits: (photo: number, clip: number) =>
      `JPEG, PNG or WebP up to ${String(photo)} MB, MP4 or MOV up to ${String(clip)} MB. Where it was taken is cleared from the file before it is kept; a clip keeps its time.`,
    tooBig: 'This file is larger than the limit. Send a shorter or smaller one.',
    of: 'It belongs to',
    wholeTask: (title: string) => `${title}: the task`,
    oneTrial: (title: string, operator: string, n: number) =>
      `${title}: trial ${String(n)}, ${operator}`,
    description: 'What it shows',
    descriptionHint: 'Say it for someone who cannot see it. Name no person.',
    descriptionNeeded: 'Say in a few words what it shows.',
    add: 'Send it',
    queue: 'On this device, on the way',
    progress: (sent: string, of: string) => `${sent} of ${of} on the server`,
    waiting: 'Waiting for the network. It goes on by itself from where it was.',
    refused: 'The server did not take this file.',
    notKept: 'This device cannot keep the file. Leave this page open until it is sent.',
    cancel: 'Cancel',
    again: 'Try again',
    saved: (n: number) => `${plural(n, 'photo or clip', 'photos and clips')} saved`,
    none: 'No photo or clip yet.',
    by: (name: string, time: string) => `sent by ${name}, ${time}`,
    removed: (name: string, reason: string) =>
      `Removed by ${name}. The file is gone from the server; its hash stays on record. Reason: ${reason}`,
    remove: 'Remove',
    removeTitle: 'Remove this photo or clip?',
    removeLead:
      'The file is erased from the server’s disk. That it was there, its hash and your reason stay on record. Earlier backups may hold it.',
    removeReason: 'Why it has to go',
    removeGo: 'Erase the file',
    moments: 'Moments marked',
    moment: (time: string, label: string) => `${time} ${label}`,
    markLabel: 'What happens at this moment',
    mark: 'Mark this moment',
    play: 'Clip',
    force: 'Force and feel cannot be judged from a clip. Mark such tasks “not observed”.',
    hidden:
      'Under this protocol photos and clips are shown with the trials, after the first opening.',
    back: 'Back',
    ofTask: (n: number) => `${plural(n, 'photo or clip', 'photos and clips')} of this task`,
    playedBy: (names: string) => `Played here by ${names}`,
  },
  observed: {
    title: 'How you see the work',
    unsaid: 'not said yet',
    lead: 'In this round I see the work',
    how: {
      present: 'in the room',
      'live-elsewhere': 'live on video, in another program',
      recorded: 'on the clips kept here or other recordings',
    },
  },
};
