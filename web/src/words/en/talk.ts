/** Words of remarks and of the shared note, which come after the rungs. */
export const talkWords = {
  title: 'Remarks',
  write: 'Write a remark',
  send: 'Post',
  held: 'Held until the round opens',
  empty: 'No remarks yet.',
  note: 'Shared note',
  noteClosed: 'The shared note of this task opens with the round.',
};
