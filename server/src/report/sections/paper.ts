import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { instantWords, listWords, plain, plural, seatWords, strong } from '../words.ts';

/** PA-7: the words that stand before every figure of a record whose ratings came from paper. */
export const FROM_PAPER =
  'Imported from paper: these ratings were not sealed by this program. How independently they were given is for the panel to say.';

/** The mark of ratings from paper; nothing for others. */
export const paperMark = ({ state }: RecordSource): RecordBlock[] =>
  state.paper ? [strong(FROM_PAPER)] : [];

const leftOutTable = (source: RecordSource): RecordBlock[] => {
  const left = source.state.paper?.leftOut ?? [];
  if (left.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: 'Lines of the file that the moderator chose to go without',
      head: ['Line', 'Column', 'Fault'],
      widths: [0.12, 0.2, 0.68],
      rows: left.map((f) => [[String(f.line)], [f.column], [f.fault]]),
    },
  ];
};

/** Who brought what in from paper, and when. Empty where nothing came from paper. */
export const paperBlocks = (source: RecordSource): RecordBlock[] => {
  const { paper, rounds } = source.state;
  if (!paper) return [];
  const of = (how: string): string => {
    const seats = paper.seats.filter((s) => s.how === how);
    return seats.length === 0 ? 'none' : listWords(seats.map((s) => seatWords(source, s.seat)));
  };
  return [
    strong(FROM_PAPER),
    {
      kind: 'facts',
      rows: [
        {
          term: 'Brought in',
          text: `${instantWords(paper.at)}, by ${seatWords(source, paper.by)}`,
        },
        { term: 'File', text: `${paper.file}, ${plural(paper.bytes, 'byte', 'bytes')}` },
        { term: 'SHA-256 of the file', text: paper.sha256 },
        {
          term: 'Lines',
          text: `${String(paper.rows)} below the head; ${String(paper.empty)} without a standing rating, ${plural(paper.leftOut.length, 'fault', 'faults')} left out`,
        },
        { term: 'Rounds on paper', text: String(rounds.length) },
        { term: 'Seats made for people on paper', text: of('paper') },
        { term: 'People matched to seats of the panel', text: of('matched') },
      ],
    },
    ...leftOutTable(source),
    plain(
      'The file itself is not kept: the panel keeps it, and its SHA-256 shows that it is the same. The program saw the ratings all at once; who saw whose before, when each was written and whether it was changed on paper is not on record here.',
    ),
  ];
};
