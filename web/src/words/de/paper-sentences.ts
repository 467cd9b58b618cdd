import type { paperText as same } from '../en/paper-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** English and German of every sentence about a file of ratings; columns and values keep the names that the file has. */
const SENTENCES: readonly Retold[] = [
  ['the name is empty', 'Der Name fehlt'],
  ['the name cannot be used', 'Der Name ist nicht zu verwenden'],
  ['the {} cannot be kept', '{} ist nicht zu verwenden'],
  ['"{}" is neither yes nor no', '„{}“ ist weder yes noch no'],
  ['Write yes or no.', 'Schreiben Sie yes oder no.'],
  ['no task is named', 'Keine Aufgabe ist genannt'],
  ['the protocol has no task "{}"', 'Das Protokoll hat keine Aufgabe „{}“'],
  [
    'Write the id or the title of a task of this protocol.',
    'Schreiben Sie die Id oder den Titel einer Aufgabe dieses Protokolls.',
  ],
  ['Name the reviewer.', 'Nennen Sie die begutachtende Person.'],
  [
    'Count rounds from 1; the protocol allows {}.',
    'Zählen Sie Runden von 1 an; das Protokoll lässt {} zu.',
  ],
  ['"{}" is not a round', '„{}“ ist keine Runde'],
  ['"{}" does not go with a rating', '„{}“ passt nicht zu einem Urteil'],
  ['Keep one of the two.', 'Behalten Sie eines von beiden.'],
  [
    'Write a whole point from {} to {}, N/A with a reason, or leave it blank.',
    'Schreiben Sie einen ganzen Punkt von {} bis {}, N/A mit Begründung, oder lassen Sie es leer.',
  ],
  ['"{}" is not a rating', '„{}“ ist kein Urteil'],
  ['the rating cannot stand', 'Das Urteil kann nicht bestehen'],
  [
    '"Easier than without" goes with the datum only.',
    '„Leichter als ohne“ gehört nur zur Bezugslinie.',
  ],
  ['Say why the task does not apply.', 'Sagen Sie, warum die Aufgabe nicht zutrifft.'],
  [
    'This task cannot gate, so no critical failure can be proposed.',
    'Diese Aufgabe kann kein kritisches Versagen ergeben, also lässt sich keines vorschlagen.',
  ],
  ['unknown column in place {}', 'unbekannte Spalte an Stelle {}'],
  ['Known are {}.', 'Bekannt sind {}.'],
  ['the column stands twice', 'Die Spalte steht zweimal da'],
  [
    'Keep one of them; step and rating are the same.',
    'Behalten Sie eine davon; step und rating sind dasselbe.',
  ],
  ['the column is missing', 'Die Spalte fehlt'],
  ['Add it to the first line.', 'Fügen Sie sie in der ersten Zeile hinzu.'],
  ['the quotes do not match', 'Die Anführungszeichen passen nicht zueinander'],
  [
    'Put a quoted cell in one pair of quotes and double each quote inside it.',
    'Setzen Sie die Zelle in ein Paar Anführungszeichen und verdoppeln Sie jedes darin.',
  ],
  [
    'there may be more of them: the lines after this one were not read',
    'Es kann mehr davon geben: Die Zeilen nach dieser wurden nicht gelesen',
  ],
  ['{} rates {} in line {} too', '{} urteilt über {} auch in Zeile {}'],
  [
    'Keep one of them, or tell them apart by round.',
    'Behalten Sie eines davon, oder unterscheiden Sie sie nach Runden.',
  ],
  ['the file is empty', 'Die Datei ist leer'],
  ['Begin with the line task,reviewer,rating.', 'Beginnen Sie mit der Zeile task,reviewer,rating.'],
  ['more than {} rows', 'mehr als {} Zeilen'],
  ['One file holds one panel’s ratings.', 'Eine Datei enthält die Urteile eines Gremiums.'],
  ['there is no rating in the file', 'In der Datei steht kein Urteil'],
  ['Add a line for each rating.', 'Fügen Sie für jedes Urteil eine Zeile hinzu.'],
  ['{} cells, the first line has {}', '{} Zellen, die erste Zeile hat {}'],
  [
    'Quote a cell that holds the delimiter; leave an absent rating blank or write NA.',
    'Setzen Sie eine Zelle mit dem Trennzeichen in Anführungszeichen; lassen Sie ein fehlendes Urteil leer, oder schreiben Sie NA.',
  ],
  ['the file is not text in UTF-8', 'Die Datei ist kein Text in UTF-8'],
  [
    'Save it as “CSV UTF-8” in the spreadsheet and choose it again.',
    'Speichern Sie sie in der Tabellenkalkulation als „CSV UTF-8“, und wählen Sie sie noch einmal.',
  ],
  ['“{}” looks like “{}” of line {}', '„{}“ sieht aus wie „{}“ in Zeile {}'],
  ['Write one person in one way.', 'Schreiben Sie eine Person immer gleich.'],
  [
    'Remove characters that cannot be seen from the name.',
    'Entfernen Sie Zeichen aus dem Namen, die nicht zu sehen sind.',
  ],
  ['Write a name that can be seen.', 'Schreiben Sie einen Namen, der zu sehen ist.'],
  [
    'Remove control or text-direction characters.',
    'Entfernen Sie Steuerzeichen und Zeichen der Schreibrichtung.',
  ],
  ['Write at least {} characters.', 'Schreiben Sie mindestens {} Zeichen.'],
  ['Keep it to {} characters.', 'Bleiben Sie bei {} Zeichen.'],
];

export const paperText: typeof same = retold(SENTENCES);
