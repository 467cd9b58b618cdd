import type { reasonWords as english } from '../en/reason.ts';
import type { SameWords } from '../same-words.ts';

/** Words of a reason that is asked for, and of a slip that is corrected. */
export const reasonWords: SameWords<typeof english> = {
  wordsKept: 'Ihre Worte stehen noch hier.',
  copy: 'Meinen Text kopieren',
  copied: 'Markiert und kopiert.',
  selected: 'Markiert. Kopieren Sie ihn mit den Tasten oder dem Menü dieses Geräts.',
  reasonCount: (n, min) => (n < min ? `noch ${String(min - n)} Zeichen` : 'lang genug'),
  correctTitle: 'Ein Versehen in Ihrem Urteil berichtigen',
  correctReason: 'Was falsch war',
  correctGo: 'Berichtigen; beide Werte bleiben sichtbar',
};
