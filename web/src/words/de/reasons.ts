import { createSubscriber } from 'svelte/reactivity';
import type { reasonText as english } from '../en/reasons.ts';

let sentence: typeof english = (why) => why;

/** The sentences come after the screen, which a phone waits for; until then, and without a link, the English ones stand. */
const loaded = import('./all-reasons.ts').then(
  (all) => {
    sentence = all.reasonSentence;
  },
  () => undefined,
);
const follow = createSubscriber((update) => {
  void loaded.then(update);
});

/** A reason in German; whatever shows one is shown anew when the sentences are there. */
export const reasonText: typeof english = (why) => {
  follow();
  return sentence(why);
};
