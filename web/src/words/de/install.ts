import type { installWords as english } from '../en/install.ts';
import type { SameWords } from '../same-words.ts';

/** Words of the offer to keep the pages on this device as an app. */
export const installWords: SameWords<typeof english> = {
  title: 'Auf diesem Gerät behalten',
  why: 'Als App öffnet es sich vom Startbildschirm, füllt den Bildschirm und öffnet sich auch ohne Netz.',
  byHand:
    'Auf einem iPhone oder iPad: „Teilen“ antippen, dann „Zum Home-Bildschirm“. Tun Sie es, bevor Sie Ihren Platz einnehmen: Die App beginnt von vorn und fragt selbst nach dem Code.',
  install: 'Installieren',
  notNow: 'Nicht mehr fragen',
};
