import { panelWords } from './en/panel.ts';
import { sheetWords } from './en/sheet.ts';
import { shellWords } from './en/shell.ts';

/** The words of a seat's screens: panel, declaration, sheet. What tasks and anchors say is the protocol's. */
export const words = { ...shellWords, ...panelWords, ...sheetWords };
