/** Words of a reason that is asked for, and of a slip that is corrected: they come with their dialog. */
export const reasonWords = {
  wordsKept: 'Your words are still here.',
  copy: 'Copy what I wrote',
  copied: 'Selected and copied.',
  selected: 'Selected. Copy it with the keys or the menu of this device.',
  reasonCount: (n: number, min: number) =>
    n < min ? `${String(min - n)} more characters` : 'long enough',
  correctTitle: 'Correct a slip in your rating',
  correctReason: 'What was wrong',
  correctGo: 'Correct it; both values stay on show',
};
