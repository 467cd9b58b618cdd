/** Words of the offer to keep the pages on this device as an app. */
export const installWords = {
  title: 'Keep it on this device',
  why: 'As an app it opens from your home screen, fills the screen, and opens without a network too.',
  byHand:
    'On an iPhone or iPad: tap Share, then “Add to Home Screen”. Do it before you take your seat: the app starts afresh and asks for the code itself.',
  install: 'Install',
  notNow: 'Do not ask again',
};
