import type { measuredWords as english } from '../en/measured.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of what was measured in trials, beside the rating. */
export const measuredWords: SameWords<typeof english> = {
  measured: {
    title: 'In diesen Versuchen gemessen',
    one: (name, value, unit) => `${name}: ${value} ${unit}`,
    many: (name, middle, least, most, unit) =>
      `${name}: Mitte ${middle} ${unit}, ${least} bis ${most}`,
    of: (n, valid) => `in ${String(n)} von ${plural(valid, 'Versuch', 'Versuchen')}`,
    caveats: {
      helmet: 'Bewegung des Helms: Der Kopf kann sich darin bewegen.',
      room: 'Bewegung im Raum, nicht des Kopfes gegen den Rumpf.',
    },
    files: (n) => (n === 1 ? 'einer aus einer Datei' : `${String(n)} aus Dateien`),
  },
};
