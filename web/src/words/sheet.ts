import { sheetWords } from './en/sheet.ts';
import { shellWords } from './en/shell.ts';

/** The words of the sheet and of what is shown after the opening. What tasks and anchors say is the protocol's. */
export const words = { ...shellWords, ...sheetWords };
