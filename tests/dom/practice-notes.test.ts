import { expect, test } from 'vitest';
import type { PracticeDraft } from '../../web/src/state/practice-draft.ts';
import { EMPTY } from '../../web/src/state/practice-draft.ts';
import { PracticeNotes } from '../../web/src/state/practice-notes.svelte.ts';

const rated = { ...EMPTY, answer: 3 };

/** A shelf that keeps when it is told to. */
const slowShelf = () => {
  const kept = new Map<string, PracticeDraft>();
  const waiting: ((done: boolean) => void)[] = [];
  const set = (key: string, draft: PracticeDraft): Promise<boolean> =>
    new Promise((answer) => {
      waiting.push((done) => {
        if (done) kept.set(key, draft);
        answer(done);
      });
    });
  const get = (key: string): Promise<PracticeDraft | undefined> => Promise.resolve(kept.get(key));
  return { shelf: { get, set }, end: (done: boolean): void => waiting.shift()?.(done) };
};

test('CP-5: an answer shows at once, counts once it is kept, and is there when the page is loaded anew', async () => {
  const { shelf, end } = slowShelf();
  const notes = new PracticeNotes(shelf);
  await notes.open('ev_1');
  const first = notes.write('a', rated);
  const second = notes.write('b', rated);
  expect([Object.keys(notes.draft), Object.keys(notes.counted)]).toEqual([['a', 'b'], []]);
  end(true);
  await first;
  expect(Object.keys(notes.counted)).toEqual(['a']);
  // Left between the two.
  const between = new PracticeNotes(shelf);
  await between.open('ev_1');
  expect(between.draft).toEqual(notes.counted);
  end(true);
  await second;
  expect(notes.counted).toEqual(notes.draft);
  const anew = new PracticeNotes(shelf);
  await anew.open('ev_1');
  expect(anew.counted).toEqual({ a: rated, b: rated });
  await anew.open('ev_2');
  expect(anew.draft).toEqual({});
});

test('CP-5: where nothing can be kept it is said, and what was answered still counts and can be handed in', async () => {
  const { shelf, end } = slowShelf();
  const notes = new PracticeNotes(shelf);
  await notes.open('ev_1');
  const writing = notes.write('a', rated);
  expect(notes.fleeting).toBe(false);
  end(false);
  await writing;
  expect(notes.fleeting).toBe(true);
  expect(notes.counted).toEqual({ a: rated });
});
