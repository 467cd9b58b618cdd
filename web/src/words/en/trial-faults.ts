/** Words of what is missing or wrong in a trial that is being typed. */
export const trialFaults = {
  outcome: 'Say how it ended.',
  criterion: 'Answer this.',
  notDoneThen:
    'This is a time at which it was not done. Choose “not done”, or type the time it took.',
  empty: 'Leave it empty where it did not come about, and say so in the note.',
  tooMuch: 'This is more than one trial can keep. Shorten the note, or leave figures out.',
};
