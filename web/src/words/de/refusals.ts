import type { refusals as english, told as same } from '../en/refusals.ts';
import type { SameWords } from '../same-words.ts';

/** Words for every refusal by its code; the server's own sentence stands beside them where it has no German. */
export const refusals: SameWords<typeof english> = {
  instead: false,
  of: {
    'not-signed-in': 'Sie sind nicht angemeldet.',
    'not-seated': 'Sie haben in diesem Gremium keinen Platz.',
    'role-may-not': 'Ihre Rolle erlaubt das nicht.',
    'interest-bars':
      'Ihre offengelegte Bindung berührt diese Aufgabe. Eine andere Moderation entscheidet sie.',
    'declare-first': 'Legen Sie zuerst Ihre Interessen offen.',
    'code-unknown': 'Dieser Code ist nicht bekannt.',
    'too-many-tries': 'Zu viele Versuche. Warten Sie einen Moment.',
    'not-started': 'Das hat noch nicht begonnen.',
    'already-started': 'Das hat bereits begonnen.',
    'round-sealed': 'Die Runde ist versiegelt.',
    'round-opened': 'Die Runde ist geöffnet.',
    locked: 'Die Begutachtung ist abgeschlossen.',
    withdrawn: 'Das wurde zurückgezogen.',
    frozen: 'Dieser Bogen ist geschlossen.',
    'not-locked': 'Die Begutachtung ist noch nicht abgeschlossen.',
    'link-ended': 'Dieser Link gilt nicht mehr.',
    'bad-input': 'An der Eingabe stimmt etwas nicht.',
    'unknown-task': 'Diese Aufgabe gibt es nicht.',
    'unknown-thing': 'Das gibt es hier nicht.',
    'not-in-round': 'Das gehört nicht zu dieser Runde.',
    'off-scale': 'Der Wert liegt nicht auf der Skala.',
    'not-settled': 'Das ist noch nicht geklärt.',
    'already-settled': 'Das ist bereits geklärt.',
    'no-ratings': 'Dafür gibt es keine Urteile.',
    'median-changed':
      'Der Median ist inzwischen ein anderer. Sehen Sie ihn an und entscheiden Sie dann.',
    'reason-required': 'Dafür ist eine Begründung nötig.',
    'ratings-missing': 'Einige sind noch nicht fertig.',
    'fit-check-missing': 'Prüfen Sie zuerst die Passform.',
    'nothing-to-decide': 'Es gibt nichts zu entscheiden.',
    'already-decided': 'Das ist bereits entschieden.',
    'cannot-gate': 'Das kann kein kritisches Versagen sein.',
    'round-limit': 'Mehr Runden sieht das Protokoll nicht vor.',
    'not-ready-to-lock': 'Noch ist etwas offen; siehe die Liste.',
    'nobody-seated': 'Noch hat niemand einen Platz.',
    'duplicate-command': 'Das ist bereits geschehen.',
    'try-again': 'Das ging gerade nicht. Versuchen Sie es noch einmal.',
    'everyone-stopped':
      'Alles steht still. Die Moderation gibt den Tag wieder frei; bis dahin beginnt nichts.',
    'draft-changed': 'Jemand anderes hat diesen Entwurf inzwischen geändert.',
    'protocol-faulty': 'An diesem Protokoll stimmt noch etwas nicht; siehe die Liste.',
    'version-order': 'Die Nummer der Version muss höher sein als die der letzten.',
    'read-only': 'Hier kann gerade nur gelesen werden.',
  },
};

export const told: typeof same = async ({ code, message }) => {
  const { refusalText } = await import('./refusal-sentences.ts');
  const whole = refusalText(message);
  return whole === null ? [refusals.of[code] ?? '', message] : [whole, ''];
};
