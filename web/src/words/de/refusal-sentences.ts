import { retold, type Retold } from '../retold.ts';
import { entryText } from './entry-sentences.ts';
import { paperText } from './paper-sentences.ts';
import { seriesText } from './series-sentences.ts';

/** What is wrong with a photo or clip. */
const MEDIA: readonly Retold[] = [
  [
    'A specimen is shown by photos. Attach a clip to a trial or task.',
    'Ein Prüfstück wird auf Fotos gezeigt. Fügen Sie einen Clip einem Versuch oder einer Aufgabe bei.',
  ],
  [
    'Clips in fragments are not taken. Save the clip as a plain MP4 and send that.',
    'Clips in Fragmenten werden nicht angenommen. Speichern Sie den Clip als einfaches MP4 und senden Sie das.',
  ],
  [
    'The picture has no size. Take it again.',
    'Das Bild hat keine Größe. Nehmen Sie es noch einmal auf.',
  ],
  [
    'The picture has more than 120 million pixels. Send a smaller one.',
    'Das Bild hat mehr als 120 Millionen Pixel. Senden Sie ein kleineres.',
  ],
  [
    'The file is damaged or incomplete. Take or save it again and send that.',
    'Die Datei ist beschädigt oder unvollständig. Nehmen oder speichern Sie sie neu und senden Sie das.',
  ],
  [
    'HEIC, AVIF and other still pictures of this kind are not taken. {}',
    'HEIC, AVIF und andere Bilder dieser Art werden nicht angenommen. Senden Sie ein JPEG.',
  ],
  [
    'WebM and Matroska clips are not taken. Send the clip as MP4 or MOV.',
    'Clips in WebM und Matroska werden nicht angenommen. Senden Sie den Clip als MP4 oder MOV.',
  ],
  [
    'This is no photo or clip that is taken. Send JPEG, PNG, WebP, MP4 or MOV.',
    'Ein solches Foto oder ein solcher Clip wird nicht angenommen. Senden Sie JPEG, PNG, WebP, MP4 oder MOV.',
  ],
  [
    'A photo may have {} MB. Send a smaller one.',
    'Ein Foto darf {} MB haben. Senden Sie ein kleineres.',
  ],
  [
    'Moving WebP pictures are not taken. Send a clip as MP4 or MOV.',
    'Bewegte WebP-Bilder werden nicht angenommen. Senden Sie einen Clip als MP4 oder MOV.',
  ],
  [
    'A photo may have {} MB and a clip {} MB. Send a shorter or smaller one.',
    'Ein Foto darf {} MB haben und ein Clip {} MB. Senden Sie etwas Kürzeres oder Kleineres.',
  ],
  [
    'This very photo is with this specimen already.',
    'Genau dieses Foto ist schon bei diesem Prüfstück.',
  ],
  [
    'A specimen has room for {} photos. Remove one first.',
    'Ein Prüfstück hat Platz für {} Fotos. Entfernen Sie zuerst eines.',
  ],
  [
    'This very file is attached to this evaluation already.',
    'Genau diese Datei ist dieser Begutachtung schon beigefügt.',
  ],
  [
    'An evaluation has room for {} photos and clips.',
    'Eine Begutachtung hat Platz für {} Fotos und Clips.',
  ],
];

/** What is wrong with a file of a series or of ratings from paper. */
const FILES: readonly Retold[] = [
  ['The file cannot be read: {}.', 'Die Datei ist nicht zu lesen: {}.'],
  [
    'The file is longer than 96 MB. Cut it to the trial.',
    'Die Datei ist größer als 96 MB. Schneiden Sie sie auf den Versuch zu.',
  ],
  ['Say who “{}” of line {} is.', 'Sagen Sie, wer „{}“ in Zeile {} ist.'],
  [
    '“{}” has no rating in the file. Leave them out.',
    '„{}“ hat in der Datei kein Urteil. Lassen Sie diese Person weg.',
  ],
  [
    'Two people of the file have the same seat. Give each their own.',
    'Zwei Personen der Datei haben denselben Platz. Geben Sie jeder einen eigenen.',
  ],
  [
    '“{}” can only be matched to a reviewer’s seat.',
    '„{}“ kann nur einem Platz zugeordnet werden, von dem aus geurteilt wird.',
  ],
  [
    '“{}” looks like a reviewer of this panel. Match the name to that seat, or add an initial in the file.',
    '„{}“ sieht aus wie ein Name in diesem Gremium. Ordnen Sie ihn jenem Platz zu, oder ergänzen Sie in der Datei einen Anfangsbuchstaben.',
  ],
  ['Nothing was brought in. Line {}, {}: {}. {}', 'Nichts wurde übernommen. Zeile {}, {}: {}. {}'],
  [
    'More than {} faults. Mend the file first.',
    'Mehr als {} Fehler. Bessern Sie zuerst die Datei.',
  ],
  [
    'The file is not the one that was checked. Check it again.',
    'Die Datei ist nicht die, die geprüft wurde. Prüfen Sie sie noch einmal.',
  ],
];

/** What is wrong with something that was typed or chosen. */
const ENTRIES: readonly Retold[] = [
  ['Write your name.', 'Schreiben Sie Ihren Namen.'],
  [
    'This name looks like one that is on the panel already. Add an initial or the family name.',
    'Dieser Name sieht aus wie einer, der schon im Gremium ist. Ergänzen Sie einen Anfangsbuchstaben oder den Nachnamen.',
  ],
  [
    'Only a record that was locked later can take its place.',
    'Nur ein später abgeschlossener Bericht kann an seine Stelle treten.',
  ],
  [
    'This is not the briefing of this panel. Read it again and acknowledge what stands there.',
    'Das ist nicht die Einweisung dieses Gremiums. Lesen Sie sie noch einmal und bestätigen Sie, was dort steht.',
  ],
  ['Only a combined kit has pieces.', 'Nur eine Kombination hat Teile.'],
  [
    'A combined kit has two pieces or more. Register each piece first, then choose two or more.',
    'Eine Kombination hat zwei Teile oder mehr. Erfassen Sie zuerst jedes Teil, und wählen Sie dann zwei oder mehr.',
  ],
  [
    'A piece does not become a kit. Register the kit on its own.',
    'Aus einem Teil wird keine Kombination. Erfassen Sie die Kombination für sich.',
  ],
  [
    'There are {} drafts. Publish or discard one first.',
    'Es gibt {} Entwürfe. Veröffentlichen oder verwerfen Sie zuerst einen.',
  ],
  [
    'Choose a specimen of the register, or describe one.',
    'Wählen Sie ein erfasstes Prüfstück, oder beschreiben Sie eines.',
  ],
  ['Choose 1 to {} evaluations.', 'Wählen Sie 1 bis {} Begutachtungen.'],
  [
    'A task is rated twice. Keep one rating of each.',
    'Eine Aufgabe ist zweimal beurteilt. Behalten Sie von jeder ein Urteil.',
  ],
  [
    'These are {} turns, and a plan holds {}. Choose fewer tasks, operators, conditions or trials.',
    'Das sind {} Durchgänge, und ein Plan fasst {}. Wählen Sie weniger Aufgaben, Durchführende, Bedingungen oder Versuche.',
  ],
  [
    'A step is not met. Put it right, or record the check as failed.',
    'Ein Schritt ist nicht erfüllt. Bringen Sie ihn in Ordnung, oder halten Sie die Prüfung als nicht bestanden fest.',
  ],
  [
    'No step was met. Check one step at least.',
    'Kein Schritt war erfüllt. Prüfen Sie mindestens einen Schritt.',
  ],
  ['Say why the task does not apply.', 'Sagen Sie, warum die Aufgabe nicht zutrifft.'],
];

/** The fault inside a refusal, in the words of whichever list has it. */
const inside = (part: string): string =>
  [entryText, seriesText, paperText]
    .flatMap((say) => [say(part), say(`${part}.`).replace(/\.$/u, '')])
    .find((said) => said !== part) ?? part;

const whole = retold([...MEDIA, ...FILES, ...ENTRIES], inside);

/** What the server says of something that was sent and is not right, in German; null where only it has words. */
export const refusalText = (sentence: string): string | null => {
  const said = [whole, entryText].map((say) => say(sentence)).find((own) => own !== sentence);
  if (said !== undefined) return said;
  // A field, and what its schema says of it.
  const [, place = '', fault = ''] = /^"([^"]+)": (.+)$/su.exec(sentence) ?? [];
  const own = entryText(fault);
  return own === fault ? null : `„${place}“: ${own}`;
};
