import { cleanup, render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { afterEach, expect, test, vi } from 'vitest';
import type {
  LateSlice,
  Scale,
  SeatSlice,
  ShownRating,
  TaskSlice,
} from '../../shared-types/src/index.ts';
import OpenedTask from '../../web/src/components/OpenedTask.svelte';

afterEach(cleanup);

const scale = { min: 0, max: 5, datum: 0, points: [] } as unknown as Scale;
const seats = [{ seat: 'A', letter: 'A', name: '' } as SeatSlice];

/** A task that A alone rated, with a note. */
const noted = (note: string): TaskSlice => {
  const rating = { answer: 'step', step: 2, note, critical: null };
  const rated = { seat: 'A', rating, counted: true } as unknown as ShownRating;
  const two = { value: 2 };
  const figures = { n: 1, median: two, min: two, max: two, flags: [], settled: null };
  return { task: note, ratings: [rated], ...figures } as unknown as TaskSlice;
};

/** Frames are painted when `paint` says so. */
const painting = () => {
  const frames: FrameRequestCallback[] = [];
  vi.stubGlobal('requestAnimationFrame', (then: FrameRequestCallback) => frames.push(then));
  return async (): Promise<void> => {
    for (const frame of frames.splice(0)) frame(0);
    await new Promise((resolve) => setTimeout(resolve));
    await tick();
  };
};

test('the closed table of a task follows once the task is painted, an open one with it', async () => {
  const paint = painting();
  const { rerender } = render(OpenedTask, { slice: noted('first'), scale, seats, me: null });
  await paint();
  expect(screen.getByText('first')).toBeTruthy();
  await rerender({ slice: noted('second') });
  expect(screen.queryByText('second')).toBeNull();
  await paint();
  expect(screen.getByText('second')).toBeTruthy();
  const table = screen.getByRole<HTMLDetailsElement>('group');
  table.open = true;
  table.dispatchEvent(new Event('toggle'));
  await rerender({ slice: noted('third') });
  expect(screen.getByText('third')).toBeTruthy();
  expect(screen.queryByText('second')).toBeNull();
  vi.unstubAllGlobals();
});

test('who rated late is told what becomes of it, and nothing of what others sent late', async () => {
  const rating = { answer: 'step', step: 2, note: null, critical: null };
  const late = (seat: string, decision: LateSlice['decision']): LateSlice =>
    ({ late: `lt_${seat}`, seat, task: 'first', rating, decision }) as unknown as LateSlice;
  const props = { slice: noted('first'), scale, seats, me: 'A' };
  const { rerender } = render(OpenedTask, { ...props, late: [late('B', null)] });
  expect(screen.queryByText(/came late/u)).toBeNull();
  await rerender({ late: [late('A', null)] });
  expect(screen.getByText(/came late/u).textContent).toMatch(/The moderator decides/u);
  await rerender({ late: [late('A', { admitted: false, reason: 'Too late.' })] });
  expect(screen.getByText(/came late/u).textContent).toMatch(/Left out: Too late\./u);
});
