import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { instantWords, percentWords, plain, plural, seatWords, strong } from '../words.ts';

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

const weightWords = (source: RecordSource): string => {
  const { endorsement } = source.result.composite;
  const rule = source.protocol.endorsement;
  if (!endorsement || !rule) return 'Counted apart: no figure of this record rests on it.';
  const { content, notContent, weight } = endorsement;
  if (Number(weight) === 0) {
    return rule.weight === 0
      ? 'The protocol gives these statements the weight 0: no figure of this record rests on them.'
      : 'None of these statements counts towards the composite: their reviewers have a declared tie or no counted rating.';
  }
  return `As the protocol says, the statements of those with a counted rating and without a declared tie (${String(content)} content, ${String(notContent)} not content) make up ${percentWords(Number(weight))} of the composite, and of no other figure: content stands for ${String(rule.content)} on the scale, not content for ${String(rule.notContent)}, and who said nothing counts as neither.`;
};

/** Whether reviewers would be content to see the piece worn: in the composite only where the protocol says so. */
export const endorsementBlocks = (source: RecordSource): RecordBlock[] => {
  const statements = [...source.state.endorsements];
  if (statements.length === 0) return [];
  const yes = statements.filter(([, e]) => e.content).length;
  return [
    { kind: 'heading', text: 'Would they be content to see it worn?' },
    plain(
      `${plural(yes, 'reviewer', 'reviewers')} content, ${String(statements.length - yes)} not content, asked about athletes in their care. ${weightWords(source)}`,
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
