import { mediaWords } from './en/media.ts';
import { panelWords } from './en/panel.ts';
import { photoWords } from './en/photos.ts';
import { shellWords } from './en/shell.ts';
import { specimenWords } from './en/specimens.ts';

/** The words of the register and of the fit check. */
export const words = {
  ...shellWords,
  ...panelWords,
  ...mediaWords,
  ...photoWords,
  ...specimenWords,
};
