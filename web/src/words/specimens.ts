import { panelWords } from './en/panel.ts';
import { shellWords } from './en/shell.ts';
import { specimenWords } from './en/specimens.ts';

/** The words of the register and of the fit check. */
export const words = { ...shellWords, ...panelWords, ...specimenWords };
