import type { mediaWords as english } from '../en/media.ts';
import type { SameWords } from '../same-words.ts';
import { plural } from './plural.ts';

/** Words of photos and clips. */
export const mediaWords: SameWords<typeof english> = {
  media: {
    title: 'Fotos und Clips',
    lead: 'Wie der Prüftisch aussah, für alle, die nicht dabei waren. Niemand außerhalb des Gremiums sieht es.',
    faces:
      'Keine Gesichter. Sehen Sie vor dem Senden nach, ob auf Foto oder Clip ein Gesicht zu erkennen ist, und nehmen Sie es dann neu auf.',
    noFaces: 'Ich habe nachgesehen: Es ist kein Gesicht zu erkennen',
    noFacesNeeded: 'Sehen Sie nach und bestätigen Sie, dass kein Gesicht zu erkennen ist.',
    choose: 'Foto oder Clip',
    shoot: 'Foto aufnehmen',
    film: 'Clip filmen',
    file: 'Datei auswählen',
    limits: (photo, clip) =>
      `JPEG, PNG oder WebP bis ${String(photo)} MB, MP4 oder MOV bis ${String(clip)} MB. Der Aufnahmeort wird aus der Datei entfernt, bevor sie gesichert wird; ein Clip behält seine Uhrzeit.`,
    tooBig: 'Diese Datei ist größer als erlaubt. Senden Sie eine kürzere oder kleinere.',
    of: 'Es gehört zu',
    wholeTask: (title) => `${title}: die Aufgabe`,
    oneTrial: (title, operator, n) => `${title}: Versuch ${String(n)}, ${operator}`,
    description: 'Was es zeigt',
    descriptionHint: 'Sagen Sie es für jemanden, der es nicht sehen kann. Nennen Sie keine Person.',
    descriptionNeeded: 'Sagen Sie in wenigen Worten, was es zeigt.',
    add: 'Senden',
    queue: 'Auf diesem Gerät, unterwegs',
    progress: (sent, of) => `${sent} von ${of} auf dem Server`,
    waiting: 'Wartet auf das Netz. Es geht von selbst dort weiter, wo es war.',
    refused: 'Der Server hat diese Datei nicht angenommen.',
    notKept:
      'Dieses Gerät kann die Datei nicht aufbewahren. Lassen Sie die Seite geöffnet, bis sie gesendet ist.',
    cancel: 'Abbrechen',
    again: 'Noch einmal versuchen',
    saved: (n) => `${plural(n, 'Foto oder Clip', 'Fotos und Clips')} gespeichert`,
    none: 'Noch kein Foto oder Clip.',
    by: (name, time) => `gesendet von ${name}, ${time}`,
    removed: (name, reason) =>
      `Entfernt von ${name}. Die Datei ist auf dem Server gelöscht; ihre Prüfsumme bleibt festgehalten. Grund: ${reason}`,
    remove: 'Entfernen',
    removeTitle: 'Dieses Foto oder diesen Clip entfernen?',
    removeLead:
      'Die Datei wird vom Datenträger des Servers gelöscht. Dass es sie gab, ihre Prüfsumme und Ihr Grund bleiben festgehalten. Frühere Sicherungen können sie enthalten.',
    removeReason: 'Warum sie weg muss',
    removeGo: 'Datei löschen',
    moments: 'Markierte Augenblicke',
    moment: (time, label) => `${time} ${label}`,
    markLabel: 'Was in diesem Augenblick geschieht',
    mark: 'Diesen Augenblick markieren',
    play: 'Clip',
    force:
      'Kraft und Gefühl lassen sich aus einem Clip nicht beurteilen. Geben Sie solche Aufgaben als „nicht beobachtet“ an.',
    hidden:
      'Nach diesem Protokoll werden Fotos und Clips mit den Versuchen gezeigt, nach der ersten Öffnung.',
    back: 'Zurück',
    ofTask: (n) => `${plural(n, 'Foto oder Clip', 'Fotos und Clips')} zu dieser Aufgabe`,
    playedBy: (names) => `Hier abgespielt von ${names}`,
  },
  observed: {
    title: 'Wie Sie die Arbeit sehen',
    unsaid: 'noch nicht gesagt',
    lead: 'In dieser Runde sehe ich die Arbeit',
    how: {
      present: 'im Raum',
      'live-elsewhere': 'live im Video, in einem anderen Programm',
      recorded: 'auf den hier gesicherten Clips oder anderen Aufnahmen',
    },
  },
};
