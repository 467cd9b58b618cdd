import { expect, test } from 'vitest';
import { Following } from '../../../server/src/documents/following.ts';
import type { DocumentStore, StoredUpdate } from '../../../server/src/ports/document-store.ts';

type Wanted = ReadonlyMap<string, readonly number[]>;

/** A store whose answers wait until they are let go, and what came of them. */
const slowStore = () => {
  const asked: Record<string, readonly number[]>[] = [];
  const taken: string[] = [];
  const looked: string[] = [];
  const answers: (() => void)[] = [];
  const fails: ((error: Error) => void)[] = [];
  const read = (wanted: Wanted): Promise<Map<string, StoredUpdate[]>> => {
    asked.push(Object.fromEntries(wanted));
    const update = (n: number): StoredUpdate => ({ n, bytes: new Uint8Array(), at: '' });
    const found = new Map([...wanted].map(([d, numbers]) => [d, numbers.map(update)]));
    return new Promise((resolve, reject) => {
      answers.push(() => resolve(found));
      fails.push(reject);
    });
  };
  const store: DocumentStore = { load: () => Promise.resolve(undefined), read };
  const following = new Following(store, {
    take: (document, updates) => void taken.push(`${document} ${updates.map((u) => u.n).join()}`),
    look: async (document) => void (await Promise.resolve(looked.push(document))),
  });
  return { following, asked, taken, looked, answers, fails };
};

const soon = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

test('SY-13: what is named while one reading runs is read in one go after it, each number once', async () => {
  const { following, asked, taken, answers } = slowStore();
  const first = following.hear([{ document: 'a', numbers: [1] }]);
  const second = following.hear([{ document: 'a', numbers: [2, 4] }]);
  const third = following.hear([
    { document: 'b', numbers: [3] },
    { document: 'a', numbers: [5] },
  ]);
  await soon();
  expect(asked).toEqual([{ a: [1] }]);
  answers[0]?.();
  await first;
  await soon();
  expect(asked).toEqual([{ a: [1] }, { a: [2, 4, 5], b: [3] }]);
  answers[1]?.();
  await Promise.all([second, third]);
  expect(taken).toEqual(['a 1', 'a 2,4,5', 'b 3']);
});

test('SY-13: a document with a new client id is looked at whole, and not by its numbers too', async () => {
  const { following, asked, looked } = slowStore();
  await following.hear([
    { document: 'a', numbers: [1] },
    { document: 'a', numbers: null },
    { document: 'a', numbers: [2] },
  ]);
  expect(asked).toEqual([]);
  expect(looked).toEqual(['a']);
});

test('SY-13: a reading that fails is told to those who wait for it, and the next one goes on', async () => {
  const { following, taken, answers, fails } = slowStore();
  const first = following.hear([{ document: 'a', numbers: [1] }]);
  const second = following.hear([{ document: 'a', numbers: [2] }]);
  const failed = expect(first).rejects.toThrow('away');
  await soon();
  fails[0]?.(new Error('away'));
  await failed;
  await soon();
  answers[1]?.();
  await second;
  expect(taken).toEqual(['a 2']);
});
