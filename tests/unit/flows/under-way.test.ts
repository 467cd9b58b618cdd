import { expect, test, vi } from 'vitest';
import { UnderWay } from '../../../server/src/flows/under-way.ts';

const logged = () => {
  const errors: string[] = [];
  const log = { info: () => undefined, error: (words: string) => void errors.push(words) };
  return { errors, work: new UnderWay(log) };
};

/** A piece of work that ends when it is told to. */
const held = () => {
  let end = (): void => undefined;
  const over = new Promise<void>((resolve) => {
    end = resolve;
  });
  return { over, end: () => end() };
};

test('OP-5: the end waits for what is under way, and begins nothing after it', async () => {
  const { errors, work } = logged();
  const [one, two] = [held(), held()];
  work.begin('one', () => one.over);
  work.begin('two', async () => {
    await two.over;
    throw new Error('failed');
  });
  let ended = false;
  const ending = work.end(60_000).then(() => (ended = true));
  one.end();
  await one.over;
  await Promise.resolve();
  expect(ended).toBe(false);
  two.end();
  await ending;
  expect(errors).toEqual(['two']);
  const late = vi.fn(() => Promise.resolve());
  work.begin('late', late);
  expect(late).not.toHaveBeenCalled();
});

test('OP-5: what does not end holds nobody up for longer than is said; rounds end with it', async () => {
  vi.useFakeTimers();
  try {
    const { work } = logged();
    const round = vi.fn(() => new Promise<void>(() => undefined));
    work.every(1000, 'a round', round);
    await vi.advanceTimersByTimeAsync(2500);
    expect(round).toHaveBeenCalledTimes(2);
    let ended = false;
    const ending = work.end(500).then(() => (ended = true));
    await vi.advanceTimersByTimeAsync(499);
    expect(ended).toBe(false);
    await vi.advanceTimersByTimeAsync(1);
    await ending;
    await vi.advanceTimersByTimeAsync(5000);
    expect(round).toHaveBeenCalledTimes(2);
  } finally {
    vi.useRealTimers();
  }
});
