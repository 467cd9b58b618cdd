import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { plain } from '../words.ts';

const nameOf = ({ created: { registered } }: RecordSource, specimen: string): string => {
  const piece = [registered, ...(registered?.parts ?? [])].find((p) => p?.specimen === specimen);
  return piece ? `${piece.details.maker} ${piece.details.model}` : specimen;
};

/**
 * SP-11: the photos of the specimen and of the parts of a kit, in words: what each shows, its hash, and why a file is gone.
 * The pictures are files beside the server; a record is made from the bundle alone.
 */
export const photoBlocks = (source: RecordSource): RecordBlock[] => {
  const photos = [...source.state.specimenPhotos.values()];
  if (photos.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: 'Photos of the specimen',
      head: ['Piece', 'What it shows', 'SHA-256 of the file'],
      widths: [0.24, 0.4, 0.36],
      rows: photos.map((p) => [
        [nameOf(source, p.specimen)],
        [p.removed ? `${p.caption} (removed: ${p.removed.reason})` : p.caption],
        [p.sha256],
      ]),
    },
    plain(
      'The photos are files beside the server and not part of this record; a file with this SHA-256 is the one that was there. What was removed is gone from the server.',
    ),
  ];
};
