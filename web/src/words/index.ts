import { panelWords } from './en/panel.ts';
import { words as sheet } from './sheet.ts';

/** The words of a panel's screens: seats, invitations, declarations, with those of the sheet. */
export const words = { ...sheet, ...panelWords };
