import { deskWords } from './en/desk.ts';
import { insightWords } from './en/insight.ts';
import { panelWords } from './en/panel.ts';
import { sheetWords } from './en/sheet.ts';
import { shellWords } from './en/shell.ts';

/** Every word on the screens, in English. Sentences of tasks, anchors and cautions come from the protocol. */
export const en = { ...shellWords, ...panelWords, ...sheetWords, ...deskWords, ...insightWords };

export type Words = typeof en;
