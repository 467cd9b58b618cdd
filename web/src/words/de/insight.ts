import type { insightWords as english } from '../en/insight.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of what the ratings say about the panel; only the moderator reads them. */
export const insightWords: SameWords<typeof english> = {
  insight: {
    title: 'Was die Urteile über das Gremium sagen',
    reading: {
      undefined: 'Die Übereinstimmung lässt sich noch nicht berechnen.',
      alike: 'Die Urteile unterscheiden die Aufgaben gleich.',
      'tasks-hardly-differ':
        'Alpha ist niedrig, weil sich die Aufgaben kaum unterscheiden, nicht weil die Urteile es tun.',
      tentative:
        'Gut genug für vorläufige Schlüsse, nicht für feine Unterschiede zwischen Aufgaben.',
      apart: 'Die Urteile unterscheiden die Aufgaben nicht gleich.',
    },
    dependable: (phi, more) =>
      more > 0
        ? `Mit ${plural(more, 'weiteren Person', 'weiteren Personen')} wäre das Ergebnis verlässlich bei 0,80 (jetzt ${phi}).`
        : `Das Ergebnis ist verlässlich bei 0,80 (jetzt ${phi}).`,
    notEstimable: (why) => `Die Verlässlichkeit lässt sich nicht schätzen: ${why}.`,
    rule: {
      D1: (lone, split) =>
        `Eine Aufgabe wird markiert, wenn ein Urteil ${lone} Stufen oder mehr vom Median der anderen entfernt ist oder wenn die Urteile im Mittel mehr als ${split} ${split === '1' ? 'Stufe' : 'Stufen'} von ihrem Median entfernt sind. Regel D1, Teil der Protokollversion und des Berichts.`,
      strict: (lone) =>
        `Eine Aufgabe wird markiert, wenn ihre Urteile ${lone} Stufen oder mehr auseinanderliegen. Die strenge Regel, Teil der Protokollversion und des Berichts.`,
      lenient: (lone) =>
        `Eine Aufgabe wird markiert, wenn ein Urteil ${lone} Stufen oder mehr vom Median aller entfernt ist. Die milde Regel, Teil der Protokollversion und des Berichts.`,
    },
    habits: 'Gewohnheiten',
    habitsHint:
      'Wie viele Stufen jemand über (rechts) oder unter (links) dem Gremium urteilt, mit dem Standardfehler. Rückmeldung, kein Vorwurf: Niemand wird umgewichtet.',
    habit: 'Gewohnheit, Stufen',
    ratings: 'Urteile',
    error: (text) => `± ${text}`,
    carried: (tasks) => `Nicht mehr strittig, wenn jede Gewohnheit herausgerechnet wird: ${tasks}.`,
    absence: 'Wenn jemand gefehlt hätte',
    absenceNone:
      'Niemandes Fehlen würde den Gesamtwert um ein Zwanzigstel der Skala verschieben oder eine Markierung ändern.',
    without: (who, change, gone, begun) => {
      const parts = [
        ...(change === '' ? [] : [`der Gesamtwert verschiebt sich um ${change}`]),
        ...(gone === '' ? [] : [`nicht mehr strittig: ${gone}`]),
        ...(begun === '' ? [] : [`neu strittig: ${begun}`]),
      ];
      return `Ohne ${who}: ${parts.join('; ')}.`;
    },
    figures: (single, average, ac2) =>
      `ICC(A,1) ${single}, des Gremiumsmittels ${average}; AC2 nach Gwet ${ac2}.`,
  },
  doubts: {
    title: 'Ein Gerät glaubt dieser Aufzeichnung nicht',
    line: {
      rewind: (who) => `${who}: Der Server weiß weniger, als dieses Gerät schon gesehen hat.`,
      fork: (who) =>
        `${who}: Der Server erzählt einen anderen Verlauf, als dieses Gerät gesehen hat.`,
      signature: (who) =>
        `${who}: Die Aufzeichnung ist mit einem Schlüssel signiert, den dieses Gerät nicht kennt.`,
    },
    act: 'Halten Sie hier an. Fragen Sie, wer den Server betreibt, ob eine Sicherung eingespielt wurde, und lassen Sie die Geräte, wie sie sind: Sie enthalten den Nachweis.',
  },
};
