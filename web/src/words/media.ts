import { mediaWords } from './en/media.ts';
import { photoWords } from './en/photos.ts';
import { shellWords } from './en/shell.ts';

/** The words of photos and clips. */
export const words = { ...shellWords, ...mediaWords, ...photoWords };
