/** How an evaluation stands to its fit check, in a sentence: on the desk and beside the checks. */
export const fitSentences = {
  missing: 'No fit check yet: the first round cannot be opened.',
  failed: 'The last fit check failed: the first round cannot be opened.',
  passed: 'The fit check passed.',
};
