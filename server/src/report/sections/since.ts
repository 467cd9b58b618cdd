import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { instantWords, plain, plural, seatWords, strong } from '../words.ts';

/** What became of the record after its lock; it stands before everything else. */
export const sinceBlocks = ({ state }: RecordSource): RecordBlock[] => {
  const { withdrawnBecause, withdrawnAt, supersededBy } = state;
  const blocks: RecordBlock[] = [];
  if (withdrawnBecause !== null) {
    blocks.push(
      strong(`WITHDRAWN after the lock, ${instantWords(withdrawnAt ?? '')}. ${withdrawnBecause}`),
    );
  }
  if (supersededBy) {
    const { evaluation, at, reason } = supersededBy;
    blocks.push(strong(`SUPERSEDED by ${evaluation}, ${instantWords(at)}. ${reason}`));
  }
  if (blocks.length > 0) {
    blocks.push(plain('What follows is the record as it was locked. Nothing in it was changed.'));
  }
  return blocks;
};

/** Whether reviewers would be content to see the piece worn: counted apart, and part of no figure. */
export const endorsementBlocks = (source: RecordSource): RecordBlock[] => {
  const statements = [...source.state.endorsements];
  if (statements.length === 0) return [];
  const yes = statements.filter(([, e]) => e.content).length;
  return [
    { kind: 'heading', text: 'Would they be content to see it worn?' },
    plain(
      `${plural(yes, 'reviewer', 'reviewers')} content, ${String(statements.length - yes)} not content, asked about athletes in their care. Counted apart: no figure of this record rests on it.`,
    ),
    {
      kind: 'list',
      items: statements.map(([seat, { content, reason }]) => {
        const tied = (source.state.seats.get(seat)?.excluded.length ?? 0) > 0;
        return `${seatWords(source, seat)}${tied ? ' (has a declared tie)' : ''}, ${content ? 'content' : 'not content'}: ${reason}`;
      }),
    },
  ];
};
