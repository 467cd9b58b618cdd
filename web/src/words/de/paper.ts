import type { paperWords as english } from '../en/paper.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the screen that brings ratings in from paper. */
export const paperWords: SameWords<typeof english> = {
  paper: {
    title: 'Urteile von Papier',
    lead: 'Für ein Gremium, das auf Papier geurteilt hat. Der Bericht und jede Zahl sagen „von Papier übernommen“: Diese Urteile wurden von diesem Programm nie versiegelt.',
    rules: [
      'Nur vor der ersten Runde, ein einziges Mal und an ihrer Stelle: Eine Runde an Geräten kann nicht folgen.',
      'Der Name der Datei, ihr SHA-256, die Zahl ihrer Zeilen, Sie und die Zeit stehen im Verlauf. Die Datei selbst wird nicht aufbewahrt: Bewahren Sie sie und die Papierbögen selbst auf.',
      'Die Urteile werden sofort allen in der Begutachtung gezeigt.',
    ],
    columns: 'Wie die Datei aussehen muss',
    columnsLead:
      'CSV in UTF-8; Komma, Semikolon oder Tabulator. Die erste Zeile benennt die Spalten; ihre Reihenfolge ist gleich.',
    need: 'Nötig: task (Kennung oder Titel der Aufgabe), reviewer (begutachtende Person), rating (eine ganze Stufe der Skala; N/A mit Begründung; leer für keines).',
    may: 'Darf dabei sein: round (Runde), answer (Antwort), easier (leichter: yes oder no), reason (Begründung), critical (warum ein kritisches Versagen vorgeschlagen wird), note (Notiz), rated_at (Zeit des Urteils). Dateien der offenen Daten können genommen werden, wie sie sind.',
    choose: 'Datei wählen',
    another: 'Andere Datei wählen',
    tooBig: 'Die Datei ist länger als 2 MB. Eine Datei enthält die Urteile eines Gremiums.',
    checking: 'Die Datei wird gelesen …',
    nothing: 'Noch ist nichts übernommen.',
    facts: (rows, people, tasks, of, rounds) =>
      `${plural(rows, 'Zeile', 'Zeilen')}; Urteile von ${plural(people, 'Person', 'Personen')} zu ${String(tasks)} von ${plural(of, 'Aufgabe', 'Aufgaben')}, ${plural(rounds, 'Runde', 'Runden')}.`,
    empty: (n) => `${plural(n, 'Zeile hat', 'Zeilen haben')} kein gültiges Urteil.`,
    ignored: (names) =>
      `Nicht nötig und nicht gelesen: ${names}. Abschnitte und Gewichte sind die des Protokolls.`,
    faults: (n) => plural(n, 'Fehler', 'Fehler'),
    faultsLead: 'Beheben Sie sie in der Datei und wählen Sie die Datei noch einmal.',
    faultsShown: (n) => `Gezeigt werden die ersten ${String(n)}.`,
    whole: 'Von dieser Datei kann nichts übernommen werden, wie sie ist.',
    head: { line: 'Zeile', column: 'Spalte', fault: 'Was nicht stimmt', remedy: 'Was zu tun ist' },
    without: (n) =>
      `Ohne ${plural(n, 'fehlerhafte Zeile', 'fehlerhafte Zeilen')} weitergehen. Der Verlauf und der Bericht führen sie auf.`,
    people: 'Wer ist wer',
    peopleLead:
      'Wer auf Papier geurteilt hat, bekommt allein in dieser Begutachtung einen Platz mit einem Buchstaben, den niemand einnehmen kann. Ordnen Sie einen Namen nur dann einem vorhandenen Platz zu, wenn es dieselbe Person ist.',
    ratings: (n) => plural(n, 'Urteil', 'Urteile'),
    own: 'Ein Platz von Papier',
    seat: (letter, name) => `Dieselbe Person wie Platz ${letter ?? ''}, ${name}`,
    fit: 'Die erste Runde kann noch nicht geöffnet werden: Tragen Sie eine bestandene Passformprüfung ein oder gehen Sie mit einem Grund ohne sie weiter.',
    toFit: 'Passformprüfung',
    sure: 'Mir liegen diese Urteile so vor, wie die Gutachtenden sie geschrieben haben.',
    go: (n) => `${plural(n, 'Urteil', 'Urteile')} von Papier übernehmen`,
    sureNeeded: 'Bestätigen Sie, dass dies die Urteile sind, wie sie geschrieben wurden.',
    back: 'Zurück zum Pult',
    late: 'Diese Begutachtung hat begonnen: Urteile von Papier können nur vor ihrer ersten Runde kommen. Legen Sie für sie eine andere Begutachtung an.',
    done: (file) => `Die Urteile dieser Begutachtung kamen von Papier, aus „${file}“.`,
  },
};
