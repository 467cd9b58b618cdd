import type { photoWords as english } from '../en/photos.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of the photos of a specimen. */
export const photoWords: SameWords<typeof english> = {
  photos: {
    title: 'Fotos',
    lead: 'Wie das Stück aussieht, für alle, die das Verzeichnis lesen dürfen.',
    faces:
      'Keine Gesichter, keine Namen: Sehen Sie nach, ob ein Gesicht, ein Namensschild oder eine Nummer einer Person zu erkennen ist, und nehmen Sie das Foto dann neu auf.',
    later:
      'Solange eine Begutachtung ihre Versuche bis zur Öffnung der Bewertungen zurückhält, bleiben auch Fotos zurück, die seit ihrem Beginn dazukamen: Sie könnten zeigen, was die Versuche bewirkt haben.',
    none: 'Noch kein Foto.',
    add: 'Foto hinzufügen',
    choose: 'Foto des Prüfstücks',
    noFaces: 'Ich habe nachgesehen: Es ist kein Gesicht und kein Name zu erkennen',
    noFacesNeeded:
      'Sehen Sie nach und bestätigen Sie, dass kein Gesicht und kein Name zu erkennen ist.',
    limits: (mb) =>
      `JPEG, PNG oder WebP bis ${String(mb)} MB. Der Aufnahmeort wird aus der Datei entfernt, bevor sie gesichert wird.`,
    saved: (n) => `${plural(n, 'Foto', 'Fotos')} gespeichert`,
    large: 'In voller Größe öffnen',
    caption: 'Bildtext ändern',
    what: 'Was es zeigt',
    save: 'Bildtext speichern',
    remove: 'Entfernen',
    removeTitle: 'Dieses Foto entfernen?',
    removeLead:
      'Die Datei wird vom Datenträger des Servers gelöscht. Dass es sie gab, ihre Prüfsumme und Ihr Grund bleiben festgehalten, auch in abgeschlossenen Begutachtungen, die es enthalten. Frühere Sicherungen können die Datei enthalten.',
    removeReason: 'Warum es weg muss',
    removeGo: 'Datei löschen',
    was: (caption) => `Vorher stand da: ${caption}`,
  },
};
