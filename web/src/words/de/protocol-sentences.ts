import type { changeText as sameChange, faultText as sameFault } from '../en/protocol-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** Kinds of entries as sentences name them, and what may be named in their place. */
const ENTRIES: Readonly<Record<string, string>> = {
  section: 'Abschnitt',
  'section letter': 'Buchstabe eines Abschnitts',
  task: 'Aufgabe',
  measure: 'Messgröße',
  tool: 'Werkzeug',
  state: 'Zustand',
  'equipment state': 'Zustand der Ausrüstung',
  ladder: 'Technikfolge',
  'scale point': 'Punkt der Skala',
  entry: 'Eintrag',
  'no unit': 'keiner Einheit',
  absent: 'nichts',
  'another value': 'ein anderer Wert',
  string: 'ein Text',
  number: 'eine Zahl',
  boolean: 'true oder false',
  Array: 'eine Liste',
  Object: 'ein Objekt',
  'the text ends': 'der Text endet',
  'a quotation mark stands': 'ein Anführungszeichen steht',
  'a name in quotation marks': 'ein Name in Anführungszeichen',
  'a colon': 'ein Doppelpunkt',
  'a value': 'ein Wert',
  'the end of the text': 'das Ende des Textes',
};

/** English and German of every sentence; `{}` is what the sentence names, in the same order. */
const FAULTS: readonly Retold[] = [
  ['is missing', 'fehlt'],
  ['Write it.', 'Schreiben Sie es.'],
  ['does not fit', 'passt nicht'],
  ['{} does not fit', '{} passt nicht'],
  ['Expected {}.', 'Erwartet: {}.'],
  ['is larger than 1 MB', 'ist größer als 1 MB'],
  ['Shorten its texts.', 'Kürzen Sie die Texte.'],
  ['nests deeper than {}', 'ist tiefer verschachtelt als {}'],
  ['Flatten it.', 'Machen Sie es flacher.'],
  ['is not JSON: {} where {} should be', 'ist kein JSON: {}, wo {} stehen müsste'],
  [
    'is not JSON: this quotation mark is never closed',
    'ist kein JSON: Dieses Anführungszeichen wird nie geschlossen',
  ],
  [
    'is not JSON: a line break or control character stands inside quotation marks',
    'ist kein JSON: In Anführungszeichen steht ein Zeilenumbruch oder Steuerzeichen',
  ],
  [
    'is not JSON: after this backslash stands what JSON does not know',
    'ist kein JSON: Nach diesem Rückstrich steht, was JSON nicht kennt',
  ],
  [
    'is not JSON: nothing stands after the last comma before {}',
    'ist kein JSON: Nach dem letzten Komma steht nichts vor {}',
  ],
  ['Mend the syntax at that place.', 'Berichtigen Sie die Stelle.'],
  ['the key stands twice in one object', 'der Schlüssel steht zweimal in einem Objekt'],
  ['Keep one of them.', 'Behalten Sie einen davon.'],
  ['this key is not known here', 'dieser Schlüssel ist hier nicht bekannt'],
  [
    'Take it out, or correct its name.',
    'Nehmen Sie ihn heraus, oder berichtigen Sie seinen Namen.',
  ],
  ['the {} "{}" stands twice', '{} „{}“ steht zweimal'],
  ['Give each its own id.', 'Geben Sie jedem eine eigene Id.'],
  ['there is no {} "{}"', '{} „{}“ gibt es nicht'],
  ['Add it, or name another {}.', 'Fügen Sie das hinzu, oder nennen Sie anderes ({}).'],
  [
    'the task weights of this section add up to nothing',
    'die Gewichte der Aufgaben dieses Abschnitts ergeben zusammen nichts',
  ],
  ['the section weights add up to nothing', 'die Gewichte der Abschnitte ergeben nichts'],
  [
    'the section weights add up to more than 1000000',
    'die Gewichte der Abschnitte ergeben mehr als 1000000',
  ],
  ['Give one a weight.', 'Geben Sie einem ein Gewicht.'],
  ['Write smaller ones.', 'Schreiben Sie kleinere.'],
  ['is no point of the scale', 'ist kein Punkt der Skala'],
  ['Write one from {} to {}.', 'Schreiben Sie einen von {} bis {}.'],
  [
    'being content does not stand for a better point than not being content',
    'zufrieden steht für keinen besseren Punkt als nicht zufrieden',
  ],
  ['Exchange the two points.', 'Tauschen Sie die beiden Punkte.'],
  ['{} anchors for {} points', '{} Sätze für {} Punkte'],
  [
    'Write one sentence for each point, from the lowest to the highest.',
    'Schreiben Sie zu jedem Punkt einen Satz, vom niedrigsten zum höchsten.',
  ],
  [
    'the task "{}" can never gate, so nothing decides its criterion',
    'die Aufgabe „{}“ kann nie sperren, so entscheidet nichts ihr Kriterium',
  ],
  [
    'Write the criterion as a sentence under "critical", or take this one out.',
    'Schreiben Sie das Kriterium als Satz unter „critical“, oder nehmen Sie dieses heraus.',
  ],
  [
    'the criterion asks for the measure "{}", which the task does not take',
    'das Kriterium fragt nach der Messgröße „{}“, die zur Aufgabe nicht gemessen wird',
  ],
  [
    'Add it to the measures of the task, or ask for one of them.',
    'Fügen Sie sie den Messgrößen der Aufgabe hinzu, oder fragen Sie nach einer davon.',
  ],
  ['"{}" is taken in {}, and this needs {}', '„{}“ wird in {} gemessen, hier braucht es {}'],
  ['Ask for a measure of that unit.', 'Fragen Sie nach einer Messgröße in dieser Einheit.'],
  [
    'Remove control or text-direction characters.',
    'Entfernen Sie Steuerzeichen und Zeichen der Schreibrichtung.',
  ],
  ['Write at least {} characters.', 'Schreiben Sie mindestens {} Zeichen.'],
  ['Keep it to {} characters.', 'Bleiben Sie bei {} Zeichen.'],
  ['A scale has 2 to 11 points.', 'Eine Skala hat 2 bis 11 Punkte.'],
  [
    'Every point from min to max needs its word and sentence, in rising order.',
    'Jeder Punkt von min bis max braucht Wort und Satz, in steigender Reihenfolge.',
  ],
  ['The datum must be a point of the scale.', 'Die Bezugslinie muss ein Punkt der Skala sein.'],
  ['Write zero as 0, without a minus sign.', 'Schreiben Sie null als 0, ohne Minuszeichen.'],
];

const CHANGES: readonly Retold[] = [
  [
    '{} {} is called {} now: the same one, to be looked for by the new id',
    '{} {} heißt jetzt {}: derselbe Eintrag, unter der neuen Id zu suchen',
  ],
  ['{} was taken away', '{} wurde weggenommen'],
  ['{} was added', '{} kam hinzu'],
  ['{} stand in another order', '{} stehen in anderer Reihenfolge'],
  ['{} changed from {} to {}', '{} geändert von {} zu {}'],
];

/** The way to a value, `section "a", task "b", weight`: kinds in German, keys as the file has them. */
const named = (part: string): string =>
  ENTRIES[part] ??
  part
    .replaceAll(
      /(^|, )(equipment state|scale point|section|task|measure|tool|ladder|entry)(?= ["\d-])/gu,
      (_all, before: string, kind: string) => `${before}${ENTRIES[kind] ?? kind}`,
    )
    .replace(/^("(?:[^"\\]|\\.)*"|\S) stands$/u, '$1 steht')
    .replace(/^a comma or (\S)$/u, 'ein Komma oder $1');

export const faultText: typeof sameFault = retold(FAULTS, named);
export const changeText: typeof sameChange = retold(CHANGES, named);
