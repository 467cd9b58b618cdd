import { plural } from './plural.ts';

/** Words of the photos of a specimen. */
export const photoWords = {
  photos: {
    title: 'Photos',
    lead: 'How the piece looks, for everybody who may read the register.',
    faces:
      'No faces, no names: look whether a face, a name tag or a number of a person can be seen, and take the photo again if so.',
    later:
      'While an evaluation keeps its trials back until the ratings are opened, photos added since it began are kept back with them: they may show what the trials did.',
    none: 'No photo yet.',
    add: 'Add a photo',
    choose: 'Photo of the specimen',
    noFaces: 'I looked: no face and no name can be seen in it',
    noFacesNeeded: 'Look at it, then tick that no face and no name can be seen.',
    limits: (mb: number) =>
      `JPEG, PNG or WebP up to ${String(mb)} MB. Where it was taken is cleared from the file before it is kept.`,
    saved: (n: number) => `${plural(n, 'photo', 'photos')} saved`,
    large: 'Open in full size',
    caption: 'Change the caption',
    what: 'What it shows',
    save: 'Save the caption',
    remove: 'Remove',
    removeTitle: 'Remove this photo?',
    removeLead:
      'The file is erased from the server’s disk. That it was there, its hash and your reason stay on record, also in locked evaluations that hold it. Earlier backups may hold the file.',
    removeReason: 'Why it has to go',
    removeGo: 'Erase the file',
    was: (caption: string) => `It said: ${caption}`,
  },
};
