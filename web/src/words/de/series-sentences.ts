import type { seriesText as same } from '../en/series-sentences.ts';
import { retold, type Retold } from '../retold.ts';

/** English and German of every sentence about a file of a series; `{}` is what the sentence names, in the same order. */
const SENTENCES: readonly Retold[] = [
  ['line {}, column {}', 'Zeile {}, Spalte {}'],
  ['line {}', 'Zeile {}'],
  ['the time is missing', 'Die Zeit fehlt'],
  ['Give every row its time.', 'Geben Sie jeder Zeile ihre Zeit.'],
  ['the time does not rise', 'Die Zeit steigt nicht'],
  [
    'Sort the rows by time, each time once.',
    'Ordnen Sie die Zeilen nach der Zeit, jede Zeit einmal.',
  ],
  ['the time jumps by {} s', 'Die Zeit springt um {} s'],
  [
    'Check the unit of the column, or cut the file to the trial.',
    'Prüfen Sie die Einheit der Spalte, oder schneiden Sie die Datei auf den Versuch zu.',
  ],
  ['there is no value: a lost sample', 'Hier steht kein Wert: ein verlorener Messpunkt'],
  ['Leave it, or record again.', 'Lassen Sie es so, oder nehmen Sie neu auf.'],
  ['{} cannot be (0 to {})', '{} kann nicht sein (0 bis {})'],
  ['Check the unit of the column.', 'Prüfen Sie die Einheit der Spalte.'],
  ['"{}" is neither yes nor no', '„{}“ ist weder yes noch no'],
  ['Write yes, no, 1 or 0.', 'Schreiben Sie yes, no, 1 oder 0.'],
  ['there is no compression and no breath', 'Es gibt weder eine Kompression noch eine Beatmung'],
  ['Check the columns chosen.', 'Prüfen Sie die gewählten Spalten.'],
  ['there is no such column', 'Diese Spalte gibt es nicht'],
  ['Choose one of: {}.', 'Wählen Sie eine davon: {}.'],
  ['the column stands twice', 'Die Spalte steht zweimal da'],
  ['Give each column a name of its own.', 'Geben Sie jeder Spalte einen eigenen Namen.'],
  ['"{}" is no number', '„{}“ ist keine Zahl'],
  ['Write a number with a decimal {}.', 'Schreiben Sie eine Zahl mit {}.'],
  ['more than {} rows', 'mehr als {} Zeilen'],
  [
    'Cut the file to the trial, or lower its rate.',
    'Schneiden Sie die Datei auf den Versuch zu, oder verringern Sie ihre Rate.',
  ],
  ['{} cells, the first line has {}', '{} Zellen, die erste Zeile hat {}'],
  [
    'Quote a cell that holds the delimiter.',
    'Setzen Sie eine Zelle mit dem Trennzeichen in Anführungszeichen.',
  ],
  ['a quote is opened and never closed', 'Ein Anführungszeichen wird geöffnet und nie geschlossen'],
  ['Close it, or double it in a cell.', 'Schließen Sie es, oder verdoppeln Sie es in einer Zelle.'],
  ['there is no row', 'Es gibt keine Zeile'],
  [
    'Begin with the names of the columns, then the rows.',
    'Beginnen Sie mit den Namen der Spalten, dann kommen die Zeilen.',
  ],
  ["the quaternion's length is {}, not 1", 'Die Länge des Quaternions ist {}, nicht 1'],
  [
    'Check the four columns, or leave the cells blank for a lost sample.',
    'Prüfen Sie die vier Spalten, oder lassen Sie die Zellen eines verlorenen Messpunkts leer.',
  ],
  ['the nine numbers are no rotation', 'Die neun Zahlen sind keine Drehung'],
  [
    'Check the order of the nine columns (by rows), and that the axes are right-handed.',
    'Prüfen Sie die Reihenfolge der neun Spalten (zeilenweise), und dass die Achsen rechtshändig sind.',
  ],
  [
    'The marker sits on the helmet: this is helmet motion; the head can move inside it.',
    'Der Marker sitzt am Helm: Das ist die Bewegung des Helms; der Kopf kann sich darin bewegen.',
  ],
  [
    'The torso was not tracked: this is motion in the room, not of the head on the torso.',
    'Der Rumpf wurde nicht verfolgt: Das ist Bewegung im Raum, nicht des Kopfes gegen den Rumpf.',
  ],
  ['each plane needs an axis of its own', 'Jede Ebene braucht eine eigene Achse'],
  ['no sample', 'kein Messpunkt'],
  [
    'the middle angle passes {} degrees at {} s: choose another order of axes',
    'Der mittlere Winkel überschreitet {} Grad bei {} s: Wählen Sie eine andere Reihenfolge der Achsen',
  ],
  ['fewer than two samples', 'weniger als zwei Messpunkte'],
  [
    '{} % of the samples are missing, more than a tenth',
    '{} % der Messpunkte fehlen, mehr als ein Zehntel',
  ],
];

const SIGNS: Readonly<Record<string, string>> = { comma: 'Dezimalkomma', point: 'Dezimalpunkt' };

/** Signs by their names, figures with a decimal comma. */
const named = (part: string): string =>
  SIGNS[part] ?? (/^-?\d+\.\d+$/u.test(part) ? part.replace('.', ',') : part);

export const seriesText: typeof same = retold(SENTENCES, named);
