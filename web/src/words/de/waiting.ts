import type { waitingWords as english } from '../en/waiting.ts';
import type { SameWords } from '../same-words.ts';

/** Words for somebody who typed a code and waits to be let in. */
export const waitingWords: SameWords<typeof english> = {
  title: 'Gleich geht es weiter',
  waiting:
    'Die Moderation sieht, dass Sie da sind, und lässt Sie ein. Lassen Sie diese Seite geöffnet.',
  asks: (panel, seat) => `Sie haben angefragt: ${seat}, in „${panel}“.`,
  stop: 'Nicht länger warten',
  refusedTitle: 'Nicht eingelassen',
  refused:
    'Die Moderation hat dieses Gerät nicht eingelassen. Wenn Sie das überrascht, sprechen Sie mit ihr: Sie kann Ihnen einen neuen Code geben.',
  overTitle: 'Das Warten ist vorbei',
  over: 'Dieses Gerät wartet nicht mehr. Bitten Sie die Moderation um einen neuen Code.',
  again: 'Anderen Code eingeben',
  stopped: {
    title: 'Alle halten an',
    since: (time) => `In diesem Gremium stehen seit ${time} alle still.`,
    hold: 'Wenn Sie im Raum sind: Halten Sie sicher an. Wer den Kopf hält, hält ihn weiter, bis jemand übernimmt.',
    hurt: 'Wenn jemand verletzt ist: Lassen Sie dieses Werkzeug liegen. Folgen Sie Ihrem Notfallplan, den örtlichen Vorgaben und der ärztlichen Leitung.',
  },
  offline: 'Im Moment keine Verbindung zum Server. Diese Seite fragt weiter.',
};
